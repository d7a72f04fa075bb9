/**
 * EXIF data with only what measuring and sorting photos need. What is not listed here is left behind: place, maker notes,
 * serial numbers, owner, thumbnail, comments, unique ids, and the time zone, which tells of a place.
 * Tags, types and counts: TIFF 6.0 (1992), sections 8 and 22, and Exif 2.32 (CIPA DC-008-2019), 4.6.
 */
import {
  ASCII,
  directorySize,
  isEmpty,
  type KeptTag,
  keptEntries,
  LONG,
  putDirectory,
  putStart,
  RATIONAL,
  readDirectory,
  SHORT,
  SRATIONAL,
  type TiffDirectory,
  type TiffEntry,
  tiffStart,
  UNDEFINED,
  wholeNumbers,
} from './clean-metadata-directory.ts';

export const EXIF_DIRECTORY = 0x8769;
const INTEROPERABILITY_DIRECTORY = 0xa005;

const short: KeptTag = { types: [SHORT], most: 1 };
const whole: KeptTag = { types: [SHORT, LONG], most: 1 };
const rational: KeptTag = { types: [RATIONAL], most: 1 };
const signed: KeptTag = { types: [SRATIONAL], most: 1 };
const fourBytes: KeptTag = { types: [UNDEFINED], most: 4 };
const date: KeptTag = { types: [ASCII], most: 20 };

/** Kept in the first directory of EXIF data, and of a TIFF. */
export const PICTURE_TAGS: ReadonlyMap<number, KeptTag> = new Map([
  [0x0112, whole], // Orientation
  [0x011a, rational], // XResolution
  [0x011b, rational], // YResolution
  [0x0128, short], // ResolutionUnit
  [0x0132, date], // DateTime
  [0x0213, short], // YCbCrPositioning
]);

const EXPOSURE_TAGS: ReadonlyMap<number, KeptTag> = new Map([
  [0x829a, rational], // ExposureTime
  [0x829d, rational], // FNumber
  [0x8822, short], // ExposureProgram
  [0x8827, { types: [SHORT], most: 3 }], // PhotographicSensitivity
  [0x8830, short], // SensitivityType
  [0x9000, fourBytes], // ExifVersion
  [0x9003, date], // DateTimeOriginal
  [0x9004, date], // DateTimeDigitized
  [0x9101, fourBytes], // ComponentsConfiguration
  [0x9201, signed], // ShutterSpeedValue
  [0x9202, rational], // ApertureValue
  [0x9203, signed], // BrightnessValue
  [0x9204, signed], // ExposureBiasValue
  [0x9207, short], // MeteringMode
  [0x9208, short], // LightSource
  [0x9209, short], // Flash
  [0x920a, rational], // FocalLength
  [0xa000, fourBytes], // FlashpixVersion
  [0xa001, short], // ColorSpace
  [0xa002, whole], // PixelXDimension
  [0xa003, whole], // PixelYDimension
  [0xa401, short], // CustomRendered
  [0xa402, short], // ExposureMode
  [0xa403, short], // WhiteBalance
  [0xa404, rational], // DigitalZoomRatio
  [0xa405, short], // FocalLengthIn35mmFilm
  [0xa500, rational], // Gamma
]);

const INTEROPERABILITY_TAGS: ReadonlyMap<number, KeptTag> = new Map([
  [0x0001, { types: [ASCII], most: 4 }], // InteroperabilityIndex: R03 means Adobe RGB (1998)
  [0x0002, fourBytes], // InteroperabilityVersion
]);

/**
 * EXIF data rewritten with the kept entries only, or undefined when none is left or the data cannot be read.
 *
 * @param exif the EXIF block, with or without its leading `Exif\0\0`, which the answer has where this has it
 */
export function cleanExif(exif: Uint8Array): Uint8Array | undefined {
  const lead = exif[0] === 0x45 && exif[1] === 0x78 ? 6 : 0;
  const tiff = exif.subarray(lead);
  const start = tiffStart(tiff);
  if (!start) return undefined;
  const { entries } = readDirectory(tiff, start.first, start.little);
  const directory = {
    entries: keptEntries(entries, PICTURE_TAGS),
    children: exposureOf(tiff, entries, start.little),
  };
  if (isEmpty(directory)) return undefined;
  const out = new Uint8Array(lead + 8 + directorySize(directory));
  out.set(exif.subarray(0, lead));
  putStart(out.subarray(lead), 8, start.little);
  putDirectory(out.subarray(lead), 8, directory, start.little);
  return out;
}

/** The cleaned directories below a first directory: exposure, and in it the colour space's index. */
export function exposureOf(
  tiff: Uint8Array,
  first: readonly TiffEntry[],
  little: boolean,
): ReadonlyMap<number, TiffDirectory> {
  return below(tiff, first, EXIF_DIRECTORY, little, (entries) => ({
    entries: keptEntries(entries, EXPOSURE_TAGS),
    children: below(tiff, entries, INTEROPERABILITY_DIRECTORY, little, (inner) => ({
      entries: keptEntries(inner, INTEROPERABILITY_TAGS),
      children: new Map(),
    })),
  }));
}

function below(
  tiff: Uint8Array,
  entries: readonly TiffEntry[],
  tag: number,
  little: boolean,
  clean: (entries: readonly TiffEntry[]) => TiffDirectory,
): ReadonlyMap<number, TiffDirectory> {
  const pointer = entries.find((e) => e.tag === tag);
  const [at] = pointer ? wholeNumbers(pointer, little) : [];
  if (at === undefined) return new Map();
  const directory = clean(readDirectory(tiff, at, little).entries);
  return isEmpty(directory) ? new Map() : new Map([[tag, directory]]);
}
