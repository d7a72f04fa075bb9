/** Tags that lead from the first directory of EXIF data to its interoperability index (CIPA DC-008, 4.6.3). */
const EXIF_DIRECTORY = 0x8769;
const INTEROPERABILITY_DIRECTORY = 0xa005;
const INTEROPERABILITY_INDEX = 0x0001;
const ORIENTATION = 0x0112;

/**
 * Whether EXIF data say that the colours are Adobe RGB (1998): the index `R03` (DCF optional colour space, CIPA
 * DC-009). Cameras set to that space often write this and no colour profile. False for data that cannot be read.
 *
 * @param exif the EXIF block, with or without its leading `Exif\0\0`
 */
export function saysAdobeRgb(exif: Uint8Array): boolean {
  return readExif(exif, false, (tiff, little) => {
    const own = entryAt(tiff, tiff.getUint32(4, little), EXIF_DIRECTORY, little);
    const shared = own && entryAt(tiff, tiff.getUint32(own, little), INTEROPERABILITY_DIRECTORY, little);
    const index = shared && entryAt(tiff, tiff.getUint32(shared, little), INTEROPERABILITY_INDEX, little);
    return !!index && tiff.getUint32(index) === 0x52303300; // "R03\0"
  });
}

/**
 * How the picture has to be turned, 1–8 (CIPA DC-008, 4.6.4); 1 where nothing valid is said.
 *
 * @param exif the EXIF block, with or without its leading `Exif\0\0`
 */
export function exifOrientation(exif: Uint8Array): number {
  return readExif(exif, 1, (tiff, little) => {
    const entry = entryAt(tiff, tiff.getUint32(4, little), ORIENTATION, little);
    const orientation = entry ? tiff.getUint16(entry, little) : 1;
    return orientation >= 1 && orientation <= 8 ? orientation : 1;
  });
}

/** What `read` finds in a block of EXIF data, or `otherwise` where the block ends too soon for it. */
function readExif<T>(exif: Uint8Array, otherwise: T, read: (tiff: DataView, little: boolean) => T): T {
  const start = exif[0] === 0x45 && exif[1] === 0x78 ? 6 : 0;
  const tiff = new DataView(exif.buffer, exif.byteOffset + start, Math.max(0, exif.length - start));
  try {
    return read(tiff, tiff.getUint16(0) === 0x4949);
  } catch (error) {
    if (error instanceof RangeError) return otherwise;
    throw error;
  }
}

/** Position of the value of a tag in a directory, or undefined when the directory has no such tag. */
function entryAt(tiff: DataView, directory: number, tag: number, little: boolean): number | undefined {
  const entries = tiff.getUint16(directory, little);
  for (let i = 0; i < entries; i++) {
    const at = directory + 2 + 12 * i;
    if (tiff.getUint16(at, little) === tag) return at + 8;
  }
  return undefined;
}
