/** What a file is, told from its first bytes and not from its name. */
export type ImageType = 'jpeg' | 'png' | 'tiff' | 'webp' | 'heic' | 'avif' | 'dng' | 'gif' | 'unknown';

export interface SniffedImage {
  readonly type: ImageType;
  /** True for animated PNG and WebP, and for every GIF. */
  readonly animated: boolean;
}

/** TIFF tag that makes a TIFF a DNG (Adobe DNG specification 1.7, "DNGVersion"). */
const DNG_VERSION = 50706;
const HEIC_BRANDS: ReadonlySet<string> = new Set([
  'heic',
  'heix',
  'hevc',
  'hevx',
  'heim',
  'heis',
  'mif1',
  'msf1',
]);

/** Type of an image file by its magic bytes. Never throws: what it does not know is `unknown`. */
export function sniffImage(bytes: Uint8Array): SniffedImage {
  if (startsWith(bytes, [0xff, 0xd8, 0xff])) return { type: 'jpeg', animated: false };
  if (startsWith(bytes, [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]))
    return { type: 'png', animated: isAnimatedPng(bytes) };
  if (text(bytes, 0, 4) === 'RIFF' && text(bytes, 8, 4) === 'WEBP')
    return { type: 'webp', animated: text(bytes, 12, 4) === 'VP8X' && (bytes[20] & 0x02) !== 0 };
  if (text(bytes, 0, 4) === 'GIF8') return { type: 'gif', animated: true };
  if (text(bytes, 4, 4) === 'ftyp') return { type: typeOfBrands(bytes), animated: false };
  if (isTiff(bytes)) return { type: holdsDngVersion(bytes) ? 'dng' : 'tiff', animated: false };
  return { type: 'unknown', animated: false };
}

function startsWith(bytes: Uint8Array, magic: readonly number[]): boolean {
  return magic.every((byte, i) => bytes[i] === byte);
}

function text(bytes: Uint8Array, from: number, length: number): string {
  return String.fromCharCode(...bytes.subarray(from, from + length));
}

function view(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

/** ISO base media file: HEIC and AVIF by major or compatible brand (ISO/IEC 23008-12). */
function typeOfBrands(bytes: Uint8Array): ImageType {
  const end = Math.min(bytes.length, view(bytes).getUint32(0), 256);
  const brands: string[] = [];
  for (let at = 8; at + 4 <= end; at += at === 8 ? 8 : 4) brands.push(text(bytes, at, 4));
  if (brands.some((b) => b === 'avif' || b === 'avis')) return 'avif';
  return brands.some((b) => HEIC_BRANDS.has(b)) ? 'heic' : 'unknown';
}

/** An animation control chunk before the first image data makes a PNG animated (PNG third edition, 11.3.6.2). */
function isAnimatedPng(bytes: Uint8Array): boolean {
  const data = view(bytes);
  for (let at = 8; at + 8 <= bytes.length; ) {
    const kind = text(bytes, at + 4, 4);
    if (kind === 'acTL') return true;
    if (kind === 'IDAT') return false;
    at += 12 + data.getUint32(at);
  }
  return false;
}

function isTiff(bytes: Uint8Array): boolean {
  return [
    [0x49, 0x49, 42, 0],
    [0x4d, 0x4d, 0, 42],
    [0x49, 0x49, 43, 0],
    [0x4d, 0x4d, 0, 43],
  ].some((magic) => startsWith(bytes, magic));
}

function holdsDngVersion(bytes: Uint8Array): boolean {
  const littleEndian = bytes[0] === 0x49;
  const data = view(bytes);
  if (data.getUint16(2, littleEndian) !== 42 || bytes.length < 8) return false;
  const directory = data.getUint32(4, littleEndian);
  if (directory + 2 > bytes.length) return false;
  const entries = data.getUint16(directory, littleEndian);
  for (let i = 0; i < entries; i++) {
    const at = directory + 2 + 12 * i;
    if (at + 12 > bytes.length) return false;
    if (data.getUint16(at, littleEndian) === DNG_VERSION) return true;
  }
  return false;
}
