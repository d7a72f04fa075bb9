/** Directories of tagged values as TIFF 6.0 (1992), section 2, lays them out; EXIF data are built of them too. */

export const ASCII = 2;
export const SHORT = 3;
export const LONG = 4;
export const RATIONAL = 5;
export const UNDEFINED = 7;
export const SRATIONAL = 10;

/** Bytes of one value, by type 1 (BYTE) to 12 (DOUBLE). */
const BYTES_OF_TYPE = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8];

export interface TiffEntry {
  readonly tag: number;
  readonly type: number;
  readonly count: number;
  /** The values as bytes, in the byte order of the file. */
  readonly value: Uint8Array;
}

export interface TiffDirectory {
  readonly entries: readonly TiffEntry[];
  /** Directories that this one leads to, by the tag that leads there. */
  readonly children: ReadonlyMap<number, TiffDirectory>;
}

export interface TiffStart {
  readonly little: boolean;
  /** Position of the first directory. */
  readonly first: number;
}

/** What an entry may look like to be kept: one of these types, at most so many values. */
export interface KeptTag {
  readonly types: readonly number[];
  readonly most: number;
}

export function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

/** Byte order and first directory, or undefined for what is no classic TIFF structure. */
export function tiffStart(tiff: Uint8Array): TiffStart | undefined {
  if (tiff.length < 8) return undefined;
  const little = tiff[0] === 0x49;
  if ((!little && tiff[0] !== 0x4d) || tiff[1] !== tiff[0]) return undefined;
  const view = viewOf(tiff);
  return view.getUint16(2, little) === 42 ? { little, first: view.getUint32(4, little) } : undefined;
}

/** The entries of a directory that lie within the data, and the position of the next one (0: none). */
export function readDirectory(
  tiff: Uint8Array,
  at: number,
  little: boolean,
): { readonly entries: readonly TiffEntry[]; readonly next: number } {
  if (at < 8 || at + 2 > tiff.length) return { entries: [], next: 0 };
  const view = viewOf(tiff);
  const listed = view.getUint16(at, little);
  const entries: TiffEntry[] = [];
  for (let i = 0, from = at + 2; i < listed && from + 12 <= tiff.length; i++, from += 12) {
    const type = view.getUint16(from + 2, little);
    const count = view.getUint32(from + 4, little);
    const size = (BYTES_OF_TYPE[type] ?? 0) * count;
    const start = size > 4 ? view.getUint32(from + 8, little) : from + 8;
    if (size === 0 || start + size > tiff.length) continue;
    entries.push({
      tag: view.getUint16(from, little),
      type,
      count,
      value: tiff.subarray(start, start + size),
    });
  }
  const end = at + 2 + 12 * listed;
  return { entries, next: end + 4 <= tiff.length ? view.getUint32(end, little) : 0 };
}

/** Entries of the tags listed, in the form listed; of several with one tag the first. */
export function keptEntries(
  entries: readonly TiffEntry[],
  kept: ReadonlyMap<number, KeptTag>,
): readonly TiffEntry[] {
  const seen = new Set<number>();
  return entries.filter(({ tag, type, count }) => {
    const form = kept.get(tag);
    if (!form?.types.includes(type) || count > form.most || seen.has(tag)) return false;
    seen.add(tag);
    return true;
  });
}

/** The whole numbers of an entry of type SHORT or LONG; empty for other types. */
export function wholeNumbers({ type, count, value }: TiffEntry, little: boolean): readonly number[] {
  if (type !== SHORT && type !== LONG) return [];
  const view = viewOf(value);
  return Array.from({ length: count }, (_, i) =>
    type === SHORT ? view.getUint16(2 * i, little) : view.getUint32(4 * i, little),
  );
}

/** An entry of LONG values. */
export function longEntry(tag: number, values: readonly number[], little: boolean): TiffEntry {
  const value = new Uint8Array(4 * values.length);
  const view = viewOf(value);
  for (const [i, v] of values.entries()) view.setUint32(4 * i, v, little);
  return { tag, type: LONG, count: values.length, value };
}

export function isEmpty({ entries, children }: TiffDirectory): boolean {
  return entries.length === 0 && children.size === 0;
}

/** Bytes of a directory with its values and all directories below it. */
export function directorySize({ entries, children }: TiffDirectory): number {
  let size = 2 + 12 * (entries.length + children.size) + 4;
  for (const { value } of entries) size += outsideSize(value);
  for (const child of children.values()) size += directorySize(child);
  return size;
}

/** Values of more than four bytes lie outside their entry, each from an even position on. */
function outsideSize(value: Uint8Array): number {
  return value.length > 4 ? value.length + (value.length % 2) : 0;
}

/** Writes the eight bytes that begin a TIFF structure. */
export function putStart(out: Uint8Array, first: number, little: boolean): void {
  const view = viewOf(out);
  out.fill(little ? 0x49 : 0x4d, 0, 2);
  view.setUint16(2, 42, little);
  view.setUint32(4, first, little);
}

/**
 * Writes a directory, its values and the directories below it from `at` (an even position) on, into `out`, which begins
 * at position `base` of the file.
 */
export function putDirectory(
  out: Uint8Array,
  at: number,
  directory: TiffDirectory,
  little: boolean,
  base = 0,
): void {
  const view = viewOf(out);
  const leading = [...directory.children].map(([tag, child]) => ({
    ...longEntry(tag, [0], little),
    child,
  }));
  const all: (TiffEntry & { readonly child?: TiffDirectory })[] = [...directory.entries, ...leading];
  all.sort((a, b) => a.tag - b.tag);
  view.setUint16(at, all.length, little);
  let free = at + 2 + 12 * all.length + 4;
  for (const [i, { tag, type, count, value, child }] of all.entries()) {
    const from = at + 2 + 12 * i;
    view.setUint16(from, tag, little);
    view.setUint16(from + 2, type, little);
    view.setUint32(from + 4, count, little);
    if (child) {
      view.setUint32(from + 8, base + free, little);
      putDirectory(out, free, child, little, base);
      free += directorySize(child);
    } else if (value.length > 4) {
      view.setUint32(from + 8, base + free, little);
      out.set(value, free);
      free += outsideSize(value);
    } else out.set(value, from + 8);
  }
}
