import { viewOf } from './clean-metadata-directory.ts';
import { cleanExif } from './clean-metadata-exif.ts';

/** Ancillary chunks that say how the picture is to be shown, and when it was made (PNG third edition, 11.3). */
const KEPT: ReadonlySet<string> = new Set([
  'tRNS',
  'cHRM',
  'gAMA',
  'iCCP',
  'sBIT',
  'sRGB',
  'cICP',
  'mDCV',
  'cLLI',
  'bKGD',
  'hIST',
  'pHYs',
  'sPLT',
  'tIME',
  'acTL',
  'fcTL',
  'fdAT',
]);

/**
 * A PNG with its picture's chunks byte for byte and cleaned EXIF data; texts, XMP, private chunks and whatever follows
 * the end are left behind. Undefined when the structure is broken, or EXIF data stand in a text chunk, where a decoder
 * may look for the way up.
 */
export function cleanPng(png: Uint8Array): readonly Uint8Array[] | undefined {
  const view = viewOf(png);
  const parts: Uint8Array[] = [png.subarray(0, 8)];
  for (let at = 8; at + 12 <= png.length; ) {
    const end = at + 12 + view.getUint32(at);
    if (end > png.length) return undefined;
    const kind = String.fromCharCode(...png.subarray(at + 4, at + 8));
    const isCritical = (png[at + 4] & 0x20) === 0;
    const body = png.subarray(at + 8, end - 4);
    if (isCritical || KEPT.has(kind)) parts.push(png.subarray(at, end));
    else if (kind === 'eXIf') {
      const exif = cleanExif(body);
      if (exif) parts.push(pngChunk(kind, exif));
    } else if (/^(t|z|i)(EXt|TXt)$/.test(kind) && beginsWithRawProfile(body)) return undefined;
    if (kind === 'IEND') return parts;
    at = end;
  }
  return undefined;
}

/** The keyword under which converters store EXIF data as text. */
function beginsWithRawProfile(body: Uint8Array): boolean {
  return String.fromCharCode(...body.subarray(0, 16)) === 'Raw profile type';
}

function pngChunk(kind: string, body: Uint8Array): Uint8Array {
  const chunk = new Uint8Array(12 + body.length);
  const view = viewOf(chunk);
  view.setUint32(0, body.length);
  for (let i = 0; i < 4; i++) chunk[4 + i] = kind.charCodeAt(i);
  chunk.set(body, 8);
  view.setUint32(8 + body.length, crc32(chunk.subarray(4, 8 + body.length)));
  return chunk;
}

/** Cyclic redundancy code of a chunk (PNG third edition, annex D), bit by bit: EXIF chunks are short. */
function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}
