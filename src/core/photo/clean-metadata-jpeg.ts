import { cleanExif } from './clean-metadata-exif.ts';

/** Markers (ISO/IEC 10918-1, table B.1). */
const START_OF_SCAN = 0xda;
const END_OF_IMAGE = 0xd9;
const COMMENT = 0xfe;
const APP0 = 0xe0;
const APP1 = 0xe1;
const APP2 = 0xe2;
const APP14 = 0xee;
const APP15 = 0xef;

/** Bytes of a JFIF segment up to its thumbnail (ISO/IEC 10918-5, 10.1). */
const JFIF_BYTES = 18;

/**
 * A JPEG with its coded picture byte for byte, its JFIF and Adobe segments, ICC profile and cleaned EXIF data; other
 * application segments, comments, and whatever follows the picture (second pictures, a film, a maker's trailer) are left
 * behind. Undefined when the file's structure is broken.
 */
export function cleanJpeg(jpeg: Uint8Array): readonly Uint8Array[] | undefined {
  const parts: Uint8Array[] = [jpeg.subarray(0, 2)];
  for (let at = 2; ; ) {
    while (jpeg[at] === 0xff && jpeg[at + 1] === 0xff) at++; // fill bytes
    if (jpeg[at] !== 0xff || at + 2 > jpeg.length) return undefined;
    const marker = jpeg[at + 1];
    if (marker === END_OF_IMAGE) return [...parts, jpeg.subarray(at, at + 2)];
    const end = at + 2 + ((jpeg[at + 2] << 8) | jpeg[at + 3]);
    if (!(end >= at + 4 && end <= jpeg.length)) return undefined;
    const segment = jpeg.subarray(at, end);
    const kept = cleanSegment(marker, segment);
    if (kept) parts.push(kept);
    at = end;
    if (marker !== START_OF_SCAN) continue;
    const scanEnd = endOfScan(jpeg, end);
    parts.push(jpeg.subarray(end, scanEnd));
    if (scanEnd === jpeg.length) return parts; // cut short: the decoder has its say
    at = scanEnd;
  }
}

/** Position of the marker that ends coded data: `FF` that neither is stuffed with 0 nor begins a restart or fill. */
function endOfScan(jpeg: Uint8Array, from: number): number {
  for (let at = jpeg.indexOf(0xff, from); at >= 0; at = jpeg.indexOf(0xff, at + 1)) {
    const next = jpeg[at + 1];
    if (next === undefined) break;
    if (next !== 0 && next !== 0xff && (next < 0xd0 || next > 0xd7)) return at;
  }
  return jpeg.length;
}

function cleanSegment(marker: number, segment: Uint8Array): Uint8Array | undefined {
  if (marker === COMMENT) return undefined;
  if (marker < APP0 || marker > APP15) return segment;
  switch (marker) {
    case APP0:
      return begins(segment, 'JFIF\0') ? withoutThumbnail(segment) : undefined;
    case APP1:
      return begins(segment, 'Exif\0') ? exifSegment(segment) : undefined;
    case APP2:
      return begins(segment, 'ICC_PROFILE\0') ? segment : undefined;
    case APP14:
      return begins(segment, 'Adobe') ? segment.subarray(0, 16) : undefined;
    default:
      return undefined;
  }
}

function begins(segment: Uint8Array, text: string): boolean {
  return [...text].every((letter, i) => segment[4 + i] === letter.charCodeAt(0));
}

function withoutThumbnail(jfif: Uint8Array): Uint8Array | undefined {
  if (jfif.length < JFIF_BYTES) return undefined;
  const out = new Uint8Array(jfif.subarray(0, JFIF_BYTES));
  out.set([0, JFIF_BYTES - 2], 2);
  out.fill(0, 16); // a thumbnail of 0 × 0
  return out;
}

function exifSegment(segment: Uint8Array): Uint8Array | undefined {
  const exif = cleanExif(segment.subarray(4));
  if (!exif) return undefined;
  const out = new Uint8Array(4 + exif.length);
  out.set([0xff, APP1, (exif.length + 2) >> 8, (exif.length + 2) & 255]);
  out.set(exif, 4);
  return out;
}
