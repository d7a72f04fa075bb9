/** Puts an ICC profile and an EXIF orientation into encoded pictures without touching their pixels. */
import { deflateSync } from 'node:zlib';

export interface Extras {
  readonly icc?: Uint8Array;
  /** EXIF orientation 1–8. */
  readonly orientation?: number;
}

/** JPEG: EXIF in APP1 and the profile in APP2 (ICC.1:2022 annex B.4), after SOI and a JFIF header. */
export function extendJpeg(jpeg: Uint8Array, extras: Extras): Uint8Array {
  const segments: Uint8Array[] = [];
  if (extras.orientation)
    segments.push(segment(0xe1, [ascii('Exif\0\0'), exifOrientation(extras.orientation)]));
  if (extras.icc) {
    const most = 65000;
    const count = Math.ceil(extras.icc.length / most);
    for (let i = 0; i < count; i++) {
      const part = extras.icc.subarray(i * most, (i + 1) * most);
      segments.push(segment(0xe2, [ascii('ICC_PROFILE\0'), Uint8Array.of(i + 1, count), part]));
    }
  }
  const hasJfif = jpeg[2] === 0xff && jpeg[3] === 0xe0;
  const at = hasJfif ? 4 + ((jpeg[4] << 8) | jpeg[5]) : 2;
  return join([jpeg.subarray(0, at), ...segments, jpeg.subarray(at)]);
}

function segment(marker: number, parts: readonly Uint8Array[]): Uint8Array {
  const body = join(parts);
  const length = body.length + 2;
  return join([Uint8Array.of(0xff, marker, length >> 8, length & 255), body]);
}

/** PNG: iCCP and eXIf chunks after IHDR (W3C PNG, third edition, 11.3.2.3 and 11.3.4.5). */
export function extendPng(png: Uint8Array, extras: Extras): Uint8Array {
  const chunks: Uint8Array[] = [];
  if (extras.icc) chunks.push(pngChunk('iCCP', join([ascii('icc\0\0'), deflateSync(extras.icc)])));
  if (extras.orientation) chunks.push(pngChunk('eXIf', exifOrientation(extras.orientation)));
  const afterHeader = 8 + 25;
  return join([png.subarray(0, afterHeader), ...chunks, png.subarray(afterHeader)]);
}

function pngChunk(type: string, data: Uint8Array): Uint8Array {
  const body = join([ascii(type), data]);
  return join([uint32(data.length), body, uint32(crc32(body))]);
}

/** CRC-32 of ISO 3309, as PNG uses it. */
function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let k = 0; k < 8; k++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}

/** WebP: the extended container with ICCP and EXIF chunks around the picture's own chunk. */
export function extendWebp(webp: Uint8Array, size: readonly [number, number], extras: Extras): Uint8Array {
  const picture = webp.subarray(12);
  if (String.fromCharCode(...picture.subarray(0, 4)) === 'VP8X')
    throw new RangeError('the WebP picture is already extended');
  const header = new Uint8Array(10);
  header[0] = (extras.icc ? 0x20 : 0) | (extras.orientation ? 0x08 : 0);
  size.forEach((v, i) => {
    for (let b = 0; b < 3; b++) header[4 + 3 * i + b] = ((v - 1) >> (8 * b)) & 255;
  });
  const body = join([
    ascii('WEBP'),
    riffChunk('VP8X', header),
    ...(extras.icc ? [riffChunk('ICCP', extras.icc)] : []),
    picture,
    ...(extras.orientation ? [riffChunk('EXIF', exifOrientation(extras.orientation))] : []),
  ]);
  return join([ascii('RIFF'), uint32Little(body.length), body]);
}

function riffChunk(type: string, data: Uint8Array): Uint8Array {
  return join([ascii(type), uint32Little(data.length), data, new Uint8Array(data.length & 1)]);
}

/** Uncompressed baseline TIFF 6.0, little-endian, 8 or 16 bits a sample, with profile and orientation tags. */
export function writeTiff(
  data: Uint8Array | Uint16Array,
  size: readonly [number, number],
  extras: Extras,
): Uint8Array {
  const bits = data.BYTES_PER_ELEMENT * 8;
  const pixels = new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
  const pixelsAt = 8;
  const bitsAt = pixelsAt + pixels.length + (pixels.length & 1);
  const iccAt = bitsAt + 6;
  const icc = extras.icc ?? new Uint8Array(0);
  const directoryAt = iccAt + icc.length + (icc.length & 1);
  const SHORT = 3;
  const LONG = 4;
  const entries: [tag: number, type: number, count: number, value: number][] = [
    [256, LONG, 1, size[0]],
    [257, LONG, 1, size[1]],
    [258, SHORT, 3, bitsAt],
    [259, SHORT, 1, 1],
    [262, SHORT, 1, 2],
    [273, LONG, 1, pixelsAt],
    [274, SHORT, 1, extras.orientation ?? 1],
    [277, SHORT, 1, 3],
    [278, LONG, 1, size[1]],
    [279, LONG, 1, pixels.length],
    [284, SHORT, 1, 1],
  ];
  if (icc.length > 0) entries.push([34675, 7, icc.length, iccAt]);
  const directory = new DataView(new ArrayBuffer(2 + 12 * entries.length + 4));
  directory.setUint16(0, entries.length, true);
  entries.forEach(([tag, type, count, value], i) => {
    const at = 2 + 12 * i;
    directory.setUint16(at, tag, true);
    directory.setUint16(at + 2, type, true);
    directory.setUint32(at + 4, count, true);
    directory.setUint32(at + 8, value, true);
  });
  return join([
    ascii('II'),
    Uint8Array.of(42, 0),
    uint32Little(directoryAt),
    pixels,
    new Uint8Array(pixels.length & 1),
    Uint8Array.of(bits, 0, bits, 0, bits, 0),
    icc,
    new Uint8Array(icc.length & 1),
    new Uint8Array(directory.buffer),
  ]);
}

/** EXIF block (a TIFF with one directory) that says the orientation and nothing else. */
export function exifOrientation(orientation: number): Uint8Array {
  const bytes = new Uint8Array(8 + 2 + 12 + 4);
  const view = new DataView(bytes.buffer);
  bytes.set(ascii('MM'));
  view.setUint16(2, 42);
  view.setUint32(4, 8);
  view.setUint16(8, 1);
  view.setUint16(10, 0x0112);
  view.setUint16(12, 3);
  view.setUint32(14, 1);
  view.setUint16(18, orientation);
  return bytes;
}

function ascii(text: string): Uint8Array {
  return Uint8Array.from(text, (c) => c.charCodeAt(0));
}

function uint32(v: number): Uint8Array {
  return Uint8Array.of(v >>> 24, (v >>> 16) & 255, (v >>> 8) & 255, v & 255);
}

function uint32Little(v: number): Uint8Array {
  return uint32(v).reverse();
}

function join(parts: readonly Uint8Array[]): Uint8Array {
  const out = new Uint8Array(parts.reduce((sum, p) => sum + p.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}
