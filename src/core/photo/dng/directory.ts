/** Directories of a TIFF file (TIFF 6.0, section 2): the frame that DNG is written in. */

/** A directory's numbers by tag. Text and bytes come as their codes. */
export type Directory = ReadonlyMap<number, readonly number[]>;

/** Bytes of one value by field type; RATIONAL and SRATIONAL are read as quotients. */
const SIZES: Readonly<Record<number, number>> = {
  1: 1, // BYTE
  2: 1, // ASCII
  3: 2, // SHORT
  4: 4, // LONG
  5: 8, // RATIONAL
  6: 1, // SBYTE
  7: 1, // UNDEFINED
  8: 2, // SSHORT
  9: 4, // SLONG
  10: 8, // SRATIONAL
  11: 4, // FLOAT
  12: 8, // DOUBLE
  13: 4, // IFD
};

const MOST_ENTRIES = 1000;
const MOST_VALUES = 200_000;
const SUB_DIRECTORIES = 330;

/** All directories: the first and its followers, and their sub-directories. Throws RangeError when the file is broken. */
export function tiffDirectories(bytes: Uint8Array): Directory[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const little = bytes[0] === 0x49;
  const found: Directory[] = [];
  const seen = new Set<number>();
  const queue = [view.getUint32(4, little)];
  while (queue.length > 0) {
    const at = queue.shift() as number;
    if (at === 0 || seen.has(at) || seen.size > 50) continue;
    seen.add(at);
    const { directory, next } = readDirectory(view, at, little);
    found.push(directory);
    queue.push(...(directory.get(SUB_DIRECTORIES) ?? []), next);
  }
  return found;
}

export const isLittleEndian = (bytes: Uint8Array): boolean => bytes[0] === 0x49;

function readDirectory(
  view: DataView,
  at: number,
  little: boolean,
): { readonly directory: Directory; readonly next: number } {
  const count = view.getUint16(at, little);
  if (count > MOST_ENTRIES) throw new RangeError('a directory is too long');
  const directory = new Map<number, readonly number[]>();
  for (let i = 0; i < count; i++) {
    const entry = at + 2 + 12 * i;
    const type = view.getUint16(entry + 2, little);
    const values = view.getUint32(entry + 4, little);
    const size = SIZES[type];
    if (size === undefined || values > MOST_VALUES) continue;
    const from = size * values <= 4 ? entry + 8 : view.getUint32(entry + 8, little);
    directory.set(
      view.getUint16(entry, little),
      Array.from({ length: values }, (_, k) => valueAt(view, from + k * size, type, little)),
    );
  }
  const end = at + 2 + 12 * count;
  return { directory, next: end + 4 <= view.byteLength ? view.getUint32(end, little) : 0 };
}

function valueAt(view: DataView, at: number, type: number, little: boolean): number {
  switch (type) {
    case 3:
      return view.getUint16(at, little);
    case 4:
    case 13:
      return view.getUint32(at, little);
    case 5:
      return view.getUint32(at, little) / view.getUint32(at + 4, little);
    case 6:
      return view.getInt8(at);
    case 8:
      return view.getInt16(at, little);
    case 9:
      return view.getInt32(at, little);
    case 10:
      return view.getInt32(at, little) / view.getInt32(at + 4, little);
    case 11:
      return view.getFloat32(at, little);
    case 12:
      return view.getFloat64(at, little);
    default:
      return view.getUint8(at);
  }
}
