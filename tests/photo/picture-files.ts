/** Picture files built byte by byte, so that the tests know what is stored in them. */
import { crc32, deflateSync } from 'node:zlib';

/** A little-endian uncompressed RGB TIFF (TIFF 6.0), with orientation and ICC profile when given. */
export function tiffFile(
  width: number,
  height: number,
  rgb: Uint8Array | Uint16Array | Float32Array,
  extra: { readonly icc?: Uint8Array; readonly orientation?: number } = {},
): Uint8Array {
  const bits = 8 * rgb.BYTES_PER_ELEMENT;
  const pixels = new Uint8Array(rgb.buffer, rgb.byteOffset, rgb.byteLength);
  const icc = extra.icc ?? new Uint8Array(0);
  const entries: [tag: number, type: number, count: number, value: number][] = [];
  const bitsAt = 8 + pixels.length + (pixels.length % 2);
  const iccAt = bitsAt + 6;
  const directoryAt = iccAt + icc.length + (icc.length % 2);
  entries.push([256, 4, 1, width], [257, 4, 1, height], [258, 3, 3, bitsAt], [259, 3, 1, 1], [262, 3, 1, 2]);
  entries.push([273, 4, 1, 8], [274, 3, 1, extra.orientation ?? 1], [277, 3, 1, 3], [278, 4, 1, height]);
  entries.push([279, 4, 1, pixels.length], [284, 3, 1, 1]);
  if (bits === 32) entries.push([339, 3, 1, 3]);
  if (extra.icc) entries.push([34675, 7, icc.length, iccAt]);
  const file = new Uint8Array(directoryAt + 2 + 12 * entries.length + 4);
  const view = new DataView(file.buffer);
  file.set([0x49, 0x49, 42, 0]);
  view.setUint32(4, directoryAt, true);
  file.set(pixels, 8);
  for (let i = 0; i < 3; i++) view.setUint16(bitsAt + 2 * i, bits, true);
  file.set(icc, iccAt);
  view.setUint16(directoryAt, entries.length, true);
  entries.forEach(([tag, type, count, value], i) => {
    const at = directoryAt + 2 + 12 * i;
    view.setUint16(at, tag, true);
    view.setUint16(at + 2, type, true);
    view.setUint32(at + 4, count, true);
    if (type === 3 && count === 1) view.setUint16(at + 8, value, true);
    else view.setUint32(at + 8, value, true);
  });
  return file;
}

/** A PNG with an extra chunk before its image data: `iCCP`, `acTL` … */
export function withPngChunk(png: Uint8Array, kind: string, body: Uint8Array): Uint8Array {
  const chunk = new Uint8Array(12 + body.length);
  const view = new DataView(chunk.buffer);
  view.setUint32(0, body.length);
  chunk.set(new TextEncoder().encode(kind), 4);
  chunk.set(body, 8);
  view.setUint32(8 + body.length, crc32(chunk.subarray(4, 8 + body.length)));
  const afterHeader = 33;
  return concat([png.subarray(0, afterHeader), chunk, png.subarray(afterHeader)]);
}

/** The body of a PNG's `iCCP` chunk. */
export function pngProfileBody(icc: Uint8Array): Uint8Array {
  return concat([new TextEncoder().encode('profile\0\0'), deflateSync(icc)]);
}

/** A JPEG with an ICC profile put in as one APP2 segment. */
export function withJpegProfile(jpeg: Uint8Array, icc: Uint8Array): Uint8Array {
  const segment = new Uint8Array(4 + 14 + icc.length);
  segment.set([0xff, 0xe2, (16 + icc.length) >> 8, (16 + icc.length) & 255]);
  segment.set(new TextEncoder().encode('ICC_PROFILE\0'), 4);
  segment.set([1, 1], 16);
  segment.set(icc, 18);
  return concat([jpeg.subarray(0, 2), segment, jpeg.subarray(2)]);
}

/** A JPEG with an EXIF block whose interoperability index is `index` (`R98` or `R03`). */
export function withInteroperability(jpeg: Uint8Array, index: string): Uint8Array {
  const tiff = new Uint8Array(62);
  const view = new DataView(tiff.buffer);
  tiff.set([0x4d, 0x4d, 0, 42, 0, 0, 0, 8]);
  // three directories of one entry each, one leading to the next
  const directory = (at: number, tag: number, type: number, count: number, value: number): void => {
    view.setUint16(at, 1);
    view.setUint16(at + 2, tag);
    view.setUint16(at + 4, type);
    view.setUint32(at + 6, count);
    view.setUint32(at + 10, value);
  };
  directory(8, 0x8769, 4, 1, 26);
  directory(26, 0xa005, 4, 1, 44);
  directory(44, 0x0001, 2, 4, 0);
  tiff.set(new TextEncoder().encode(index), 54);
  const segment = concat([
    Uint8Array.from([0xff, 0xe1, 0, 2 + 6 + tiff.length]),
    new TextEncoder().encode('Exif\0\0'),
    tiff,
  ]);
  return concat([jpeg.subarray(0, 2), segment, jpeg.subarray(2)]);
}

/** A PNG that claims a size and holds next to nothing. */
export function pngOfSize(width: number, height: number): Uint8Array {
  const header = new Uint8Array(33);
  header.set([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  const view = new DataView(header.buffer);
  view.setUint32(8, 13);
  header.set(new TextEncoder().encode('IHDR'), 12);
  view.setUint32(16, width);
  view.setUint32(20, height);
  header.set([8, 2, 0, 0, 0], 24);
  view.setUint32(29, crc32(header.subarray(12, 29)));
  return withPngChunk(
    withPngChunk(header, 'IEND', new Uint8Array(0)),
    'IDAT',
    deflateSync(new Uint8Array(100)),
  );
}

function concat(parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((n, p) => n + p.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}
