import { viewOf } from './clean-metadata-directory.ts';
import { cleanExif } from './clean-metadata-exif.ts';

/** Chunks of the picture itself (RFC 9649, section 2). */
const PICTURE: ReadonlySet<string> = new Set(['VP8X', 'VP8 ', 'VP8L', 'ICCP', 'ALPH', 'ANIM', 'ANMF']);

/** Bits of the first byte of `VP8X` (RFC 9649, section 2.7). */
const HAS_EXIF = 0x08;
const HAS_XMP = 0x04;

/**
 * A WebP with its picture's chunks and profile byte for byte and cleaned EXIF data; XMP and unknown chunks are left
 * behind. Undefined when the structure is broken.
 */
export function cleanWebp(webp: Uint8Array): readonly Uint8Array[] | undefined {
  const view = viewOf(webp);
  const riffEnd = 8 + view.getUint32(4, true);
  if (riffEnd > webp.length) return undefined;
  const parts: Uint8Array[] = [];
  let extended: Uint8Array | undefined;
  let keepsExif = false;
  for (let at = 12; at + 8 <= riffEnd; ) {
    const size = view.getUint32(at + 4, true);
    const end = at + 8 + size + (size % 2);
    if (at + 8 + size > riffEnd) return undefined;
    const kind = String.fromCharCode(...webp.subarray(at, at + 4));
    const body = webp.subarray(at + 8, at + 8 + size);
    const exif = kind === 'EXIF' ? cleanExif(body) : undefined;
    if (exif) keepsExif = true;
    if (PICTURE.has(kind) || exif) {
      const chunk = webpChunk(kind, exif ?? body);
      if (kind === 'VP8X' && body.length > 0) extended = chunk;
      parts.push(chunk);
    }
    at = end;
  }
  if (extended) extended[8] &= ~HAS_XMP & ~(keepsExif ? 0 : HAS_EXIF);
  const header = new Uint8Array(webp.subarray(0, 12));
  viewOf(header).setUint32(
    4,
    parts.reduce((sum, p) => sum + p.length, 4),
    true,
  );
  return [header, ...parts];
}

function webpChunk(kind: string, body: Uint8Array): Uint8Array {
  const chunk = new Uint8Array(8 + body.length + (body.length % 2));
  for (let i = 0; i < 4; i++) chunk[i] = kind.charCodeAt(i);
  viewOf(chunk).setUint32(4, body.length, true);
  chunk.set(body, 8);
  return chunk;
}
