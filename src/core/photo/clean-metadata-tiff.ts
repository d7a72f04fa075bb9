import {
  directorySize,
  type KeptTag,
  keptEntries,
  longEntry,
  putDirectory,
  putStart,
  readDirectory,
  type TiffEntry,
  tiffStart,
  wholeNumbers,
} from './clean-metadata-directory.ts';
import { exposureOf, PICTURE_TAGS } from './clean-metadata-exif.ts';

const NEW_SUBFILE_TYPE = 254;
const REDUCED = 1;
const COMPRESSION = 259;

/** Ways of coding whose pixels need nothing outside the strips and the tags below: TIFF 6.0, its supplement 2 (JPEG 7, Deflate 8). */
const CODINGS: ReadonlySet<number> = new Set([1, 5, 7, 8, 32773, 32946]);

/** Where pixels lie, as strips or as tiles: the tag of their positions, and of their lengths. */
const PLACES = [
  [273, 279],
  [324, 325],
] as const;

const ANY_TYPE = Array.from({ length: 12 }, (_, i) => i + 1);
const any: KeptTag = { types: ANY_TYPE, most: Number.POSITIVE_INFINITY };

/**
 * Tags that decoding pixels or knowing their colours needs (TIFF 6.0, sections 8 to 23): sizes, bits, coding, colours,
 * fill order, strips, planes, transfer curve, predictor, white point, primaries, palette, tiles, extra samples, sample
 * format and limits, JPEG tables, YCbCr, reference black and white, ICC profile (ICC.1, annex B.4).
 */
const PIXEL_TAGS = [
  254, 255, 256, 257, 258, 259, 262, 266, 277, 278, 284, 301, 317, 318, 319, 320, 322, 323, 338, 339, 340,
  341, 347, 529, 530, 531, 532, 34675,
];
const KEPT: ReadonlyMap<number, KeptTag> = new Map([
  ...PICTURE_TAGS,
  ...PIXEL_TAGS.map((tag) => [tag, any] as const),
]);

/**
 * A TIFF rebuilt of its first picture's strips or tiles byte for byte, the tags that these need, resolution, orientation,
 * date, ICC profile and cleaned EXIF data. Undefined when that would not be safe: a broken structure, several full
 * pictures, or a coding or a maker's raw format that keeps data elsewhere.
 */
export function cleanTiff(tiff: Uint8Array): readonly Uint8Array[] | undefined {
  const start = tiffStart(tiff);
  if (!start) return undefined;
  const { little, first } = start;
  const { entries, next } = readDirectory(tiff, first, little);
  const number = (tag: number, of = entries): number | undefined => {
    const entry = of.find((e) => e.tag === tag);
    return entry && wholeNumbers(entry, little)[0];
  };
  if (!CODINGS.has(number(COMPRESSION) ?? 1) || (number(NEW_SUBFILE_TYPE) ?? 0) & REDUCED) return undefined;
  if (next !== 0) {
    const second = readDirectory(tiff, next, little).entries;
    if (second.length > 0 && !((number(NEW_SUBFILE_TYPE, second) ?? 0) & REDUCED)) return undefined;
  }
  const pixels = pixelsOf(tiff, entries, little);
  if (!pixels) return undefined;
  const directory = {
    entries: [...keptEntries(entries, KEPT), ...pixels.entries],
    children: exposureOf(tiff, entries, little),
  };
  const head = new Uint8Array(8);
  putStart(head, pixels.end, little);
  const tail = new Uint8Array(directorySize(directory));
  putDirectory(tail, 0, directory, little, pixels.end);
  return [head, ...pixels.parts, tail];
}

interface Pixels {
  readonly parts: readonly Uint8Array[];
  readonly entries: readonly TiffEntry[];
  /** Position after the last part in the rebuilt file. */
  readonly end: number;
}

/** The strips or tiles one after the other from position 8 on, each at an even position, and the entries that say so. */
function pixelsOf(tiff: Uint8Array, entries: readonly TiffEntry[], little: boolean): Pixels | undefined {
  const found = PLACES.flatMap(([positions, lengths]) => {
    const from = entries.find((e) => e.tag === positions);
    const size = entries.find((e) => e.tag === lengths);
    return from && size ? [{ from, size }] : [];
  });
  if (found.length !== 1) return undefined;
  const [{ from, size }] = found;
  const starts = wholeNumbers(from, little);
  const lengths = wholeNumbers(size, little);
  if (starts.length === 0 || starts.length !== lengths.length) return undefined;
  const parts: Uint8Array[] = [];
  const moved: number[] = [];
  let end = 8;
  for (const [i, at] of starts.entries()) {
    if (at + lengths[i] > tiff.length) return undefined;
    moved.push(end);
    parts.push(tiff.subarray(at, at + lengths[i]));
    end += lengths[i];
    if (end % 2 === 1) {
      parts.push(new Uint8Array(1));
      end++;
    }
  }
  if (end > 2 * tiff.length + 8) return undefined; // strips that overlap
  return { parts, entries: [longEntry(from.tag, moved, little), longEntry(size.tag, lengths, little)], end };
}
