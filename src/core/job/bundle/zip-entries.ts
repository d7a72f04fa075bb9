/**
 * Reads a zip file's directory, and single files from it, with every size checked before and while inflating. Layout:
 * .ZIP File Format Specification (APPNOTE.TXT) 6.3.10, sections 4.3 and 4.5.3.
 */
import { Inflate, strFromU8 } from 'fflate';
import { SprayoutError } from '../../errors.ts';
import { type BundleLimits, checkSizes, quoted } from './limits.ts';

const LOCAL_HEADER = 0x04034b50;
const DIRECTORY_HEADER = 0x02014b50;
const DIRECTORY_END = 0x06054b50;
const LONGEST_COMMENT = 0xffff;
const ZIP64_EXTRA = 0x0001;
const ENCRYPTED = 0x0001;
const STORED = 0;
const DEFLATED = 8;

/** Compressed bytes inflated at a time; at the most they become a thousand times as many. */
const CHUNK_BYTES = 16 * 1024;

export interface ZipEntry {
  readonly name: string;
  readonly method: typeof STORED | typeof DEFLATED;
  /** Unpacked, as the directory says. */
  readonly bytes: number;
  /** A view into the zip file. */
  readonly packed: Uint8Array;
}

export function invalid(where: string, what: string, hint = HINT_AGAIN): SprayoutError {
  return new SprayoutError('bundle-invalid', `${where} ${what}.`, hint);
}

export function damaged(where: string, what: string, hint = HINT_AGAIN): SprayoutError {
  return new SprayoutError('bundle-damaged', `${where} ${what}.`, hint);
}

const HINT_AGAIN = 'Copy the bundle again, or make it anew with sprayout bundle.';

/**
 * The files in a zip file, folders left out. Throws `bundle-invalid` for what is no zip file or one that no writer of
 * bundles makes (encrypted, in several parts, files that overlap), `bundle-damaged` when it is cut short, and what
 * `checkSizes` throws.
 */
export function zipEntries(zip: Uint8Array, where: string, limits: BundleLimits): ZipEntry[] {
  const view = new DataView(zip.buffer, zip.byteOffset, zip.byteLength);
  const headers = directoryHeaders(view, zip, where);
  checkSizes(headers, where, limits);
  const spans: (readonly [from: number, to: number])[] = [];
  const entries = headers.map((header) => {
    const from = dataStart(view, zip, header, where);
    spans.push([header.at, from + header.packedBytes]);
    const packed = zip.subarray(from, from + header.packedBytes);
    return { name: header.name, method: header.method, bytes: header.bytes, packed };
  });
  spans.sort(([a], [b]) => a - b);
  if (spans.some(([from], i) => i > 0 && from < spans[i - 1][1]))
    throw invalid(where, 'holds files that lie one over the other', HINT_SUSPECT);
  return entries.filter(({ name }) => !name.endsWith('/'));
}

const HINT_SUSPECT = 'Do not open it; ask for the bundle again where it came from.';

interface Header {
  readonly name: string;
  readonly method: typeof STORED | typeof DEFLATED;
  readonly bytes: number;
  readonly packedBytes: number;
  /** Position of the local header. */
  readonly at: number;
}

function directoryHeaders(view: DataView, zip: Uint8Array, where: string): Header[] {
  const end = directoryEnd(view, where);
  const disks = view.getUint16(end + 4, true) | view.getUint16(end + 6, true);
  const count = view.getUint16(end + 10, true);
  if (disks !== 0 || view.getUint16(end + 8, true) !== count) throw invalid(where, 'is one part of several');
  const headers: Header[] = [];
  let at = view.getUint32(end + 16, true);
  for (let i = 0; i < count; i++) {
    if (at + 46 > end || view.getUint32(at, true) !== DIRECTORY_HEADER)
      throw damaged(where, 'has a broken list of files');
    const next = at + 46 + lengthsAt(view, at + 28, 3);
    if (next > end) throw damaged(where, 'has a broken list of files');
    headers.push(directoryHeader(view, zip, at, where));
    at = next;
  }
  return headers;
}

/** Sum of so many two-byte lengths. */
function lengthsAt(view: DataView, at: number, count: number): number {
  let sum = 0;
  for (let i = 0; i < count; i++) sum += view.getUint16(at + 2 * i, true);
  return sum;
}

/** Position of the end-of-directory record, which a comment may follow. */
function directoryEnd(view: DataView, where: string): number {
  const last = view.byteLength - 22;
  for (let at = last; at >= 0 && at >= last - LONGEST_COMMENT; at--)
    if (
      view.getUint32(at, true) === DIRECTORY_END &&
      at + 22 + view.getUint16(at + 20, true) <= view.byteLength
    )
      return at;
  if (view.byteLength >= 4 && view.getUint32(0, true) === LOCAL_HEADER)
    throw damaged(where, 'is cut short: the list of files at its end is missing');
  throw invalid(where, 'is not a zip file', 'Name a job bundle, as sprayout bundle makes it.');
}

function directoryHeader(view: DataView, zip: Uint8Array, at: number, where: string): Header {
  const nameEnd = at + 46 + view.getUint16(at + 28, true);
  const name = strFromU8(zip.subarray(at + 46, nameEnd));
  const method = view.getUint16(at + 10, true);
  if (view.getUint16(at + 8, true) & ENCRYPTED)
    throw invalid(
      where,
      `holds ${quoted(name)}, which needs a password`,
      'Make the bundle without a password.',
    );
  if (method !== STORED && method !== DEFLATED)
    throw invalid(
      where,
      `holds ${quoted(name)}, packed in a way that is not read (method ${method})`,
      'Make the zip file with plain DEFLATE, or with sprayout bundle.',
    );
  const [bytes, packedBytes, start] = withZip64(
    [view.getUint32(at + 24, true), view.getUint32(at + 20, true), view.getUint32(at + 42, true)],
    view,
    nameEnd,
    nameEnd + view.getUint16(at + 30, true),
  );
  if (method === STORED && bytes !== packedBytes) throw damaged(where, `gives ${quoted(name)} two sizes`);
  return { name, method, bytes, packedBytes, at: start };
}

/** Sizes and position; those given as all ones stand in the ZIP64 extra field instead, in this order. */
function withZip64(fields: readonly number[], view: DataView, from: number, to: number): readonly number[] {
  for (let at = from; at + 4 <= to; at += 4 + view.getUint16(at + 2, true)) {
    if (view.getUint16(at, true) !== ZIP64_EXTRA) continue;
    const end = Math.min(to, at + 4 + view.getUint16(at + 2, true));
    let next = at + 4;
    return fields.map((field) => {
      if (field !== 0xffffffff || next + 8 > end) return field;
      next += 8;
      return Number(view.getBigUint64(next - 8, true));
    });
  }
  return fields;
}

/** Where a file's data begin; its local header must be there and name the same file. */
function dataStart(
  view: DataView,
  zip: Uint8Array,
  { name, at, packedBytes }: Header,
  where: string,
): number {
  if (at + 30 > zip.length || view.getUint32(at, true) !== LOCAL_HEADER)
    throw damaged(where, `lists ${quoted(name)} where no file begins`);
  const nameEnd = at + 30 + view.getUint16(at + 26, true);
  const from = nameEnd + view.getUint16(at + 28, true);
  if (from + packedBytes > zip.length) throw damaged(where, `is cut short in ${quoted(name)}`);
  if (strFromU8(zip.subarray(at + 30, nameEnd)) !== name)
    throw invalid(where, `gives one file two names, ${quoted(name)} and another`, HINT_SUSPECT);
  return from;
}

/** A file's bytes (a view into the zip file where they are stored as they are), or undefined when they are damaged. */
export function entryBytes({ method, bytes, packed }: ZipEntry): Uint8Array | undefined {
  if (method === STORED) return packed;
  const out = new Uint8Array(bytes);
  let filled = 0;
  let overflows = false;
  const inflate = new Inflate((piece) => {
    if (filled + piece.length > bytes) overflows = true;
    else out.set(piece, filled);
    filled += piece.length;
  });
  try {
    for (let at = 0; at < packed.length && !overflows; at += CHUNK_BYTES)
      inflate.push(packed.subarray(at, at + CHUNK_BYTES), at + CHUNK_BYTES >= packed.length);
  } catch {
    return undefined;
  }
  return filled === bytes && !overflows ? out : undefined;
}
