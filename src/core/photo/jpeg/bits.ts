import type { HuffmanLookup } from '../huffman.ts';

/** Entropy-coded data of a JPEG scan, read bit by bit. */
export interface Bits {
  /** Without stuffed bytes and markers; zeros follow behind `end`. */
  readonly data: Uint8Array;
  readonly end: number;
  /** Where the data behind each restart marker begin. */
  readonly restarts: readonly number[];
  at: number;
  /** The last `held` bits are still to be read; what stands before them is spent. */
  buffer: number;
  held: number;
}

/** Zeros behind the data, for a block that begins in them and goes on beyond. */
const ROOM = 512;

/**
 * The data of a scan, from behind its header to the next marker that ends it, without the zero that is stuffed behind
 * each byte of ones (ITU-T T.81, B.1.1.5), so that the hot loop need not look for them.
 */
export function scanBits(scan: Uint8Array): Bits {
  const data = new Uint8Array(scan.length + ROOM);
  const restarts: number[] = [];
  let end = 0;
  for (let from = 0; from < scan.length; ) {
    const ones = scan.indexOf(0xff, from);
    const to = ones < 0 ? scan.length : ones;
    data.set(scan.subarray(from, to), end);
    end += to - from;
    if (ones < 0) break;
    const next = scan[ones + 1];
    if (next === 0) data[end++] = 0xff;
    else if ((next & 0xf8) === 0xd0) restarts.push(end);
    else if (next !== 0xff) break;
    // one byte of ones before another only fills up
    from = next === 0xff ? ones + 1 : ones + 2;
  }
  return { data: data.subarray(0, end + ROOM), end, restarts, at: 0, buffer: 0, held: 0 };
}

/** The value of the next code. Throws RangeError where there is no such code. */
export function nextValue(bits: Bits, lookup: HuffmanLookup): number {
  fill(bits);
  const entry = lookup[(bits.buffer >>> (bits.held - 16)) & 0xffff];
  if (entry === 0) throw new RangeError('its JPEG data are broken');
  bits.held -= entry >> 8;
  return entry & 0xff;
}

/** A difference or coefficient of `size` bits, 0 to 16 (T.81, F.2.2.1, EXTEND). */
export function signedBits(bits: Bits, size: number): number {
  if (size === 0) return 0;
  fill(bits);
  bits.held -= size;
  return signedValue(bits.buffer >>> bits.held, size);
}

/** What the last `size` bits of a value stand for. */
export function signedValue(bits: number, size: number): number {
  if (size === 0) return 0;
  const value = bits & ((1 << size) - 1);
  return value < 1 << (size - 1) ? value - (1 << size) + 1 : value;
}

/** At least 17 bits are held afterwards. */
function fill(bits: Bits): void {
  if (bits.held > 16) return;
  bits.buffer = (bits.buffer << 16) | (bits.data[bits.at] << 8) | bits.data[bits.at + 1];
  bits.at += 2;
  bits.held += 16;
}

/** Goes on behind the restart marker of that number, from 0. Throws RangeError where there is none. */
export function restart(bits: Bits, number: number): void {
  if (number >= bits.restarts.length) throw new RangeError('its JPEG data are cut short');
  bits.at = bits.restarts[number];
  bits.buffer = 0;
  bits.held = 0;
}
