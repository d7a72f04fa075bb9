/** The entropy-coded data of a scan, read code by code. All sections named are those of ITU-T T.81. */

/** A table of codes: a code's length in the upper byte, its value in the lower, by the next 16 bits; 0 for no code. */
const LOOKUP_BYTES: u32 = 131072;
const SHORT_BITS: u32 = 10;
/** The code of sixteen coefficients that are nothing. */
const SIXTEEN_ZEROS: u32 = 0xf0;
/** Zeros behind the data, for a unit that begins in them and goes on beyond: at most 640 codes of 31 bits. */
export const ROOM: u32 = 2560;
/** 64 numbers of 32 bits. */
export const BLOCK_BYTES: u32 = 256;

// the reader: `held` bits of `buffer` are still to be read
let at: u32 = 0;
let buffer: u64 = 0;
let held: u32 = 0;
let isBroken: bool = false;
/** Where the data end, and where those behind each restart marker begin. */
let end: u32 = 0;
let restarts: u32 = 0;
let restartCount: u32 = 0;

// the last block's coefficients but the mean: where in zigzag order, and how large
export const places = memory.data(BLOCK_BYTES);
export const sizes = memory.data(BLOCK_BYTES);

/** Begins with a scan; restart markers beyond the first `mostRestarts` have no room at `restartsAt`. */
export function openScan(scan: u32, length: u32, restartsAt: u32, mostRestarts: u32): void {
  restarts = restartsAt;
  end = unstuff(scan, length, mostRestarts);
  at = scan;
  buffer = 0;
  held = 0;
  isBroken = false;
}

/** Goes to the data behind a restart marker. False when there is none. */
export function restartBehind(marker: u32): bool {
  if (marker >= restartCount) return false;
  at = load<u32>(restarts + 4 * marker);
  held = 0;
  return true;
}

/** Whether all that was read stood in the data, as codes of their tables. */
export function isSound(): bool {
  return !isBroken && at - (held >> 3) <= end;
}

/**
 * Takes the zero behind each byte of ones out of a scan in place (B.1.1.5) and notes where the data behind each restart marker
 * begin. Returns where the data end: at the next other marker.
 */
function unstuff(scan: u32, length: u32, mostRestarts: u32): u32 {
  let to = scan;
  restartCount = 0;
  const last = scan + length;
  for (let from = scan; from < last; ) {
    const byte = load<u8>(from);
    if (byte !== 0xff) {
      store<u8>(to++, byte);
      from++;
      continue;
    }
    const next = from + 1 < last ? load<u8>(from + 1) : 0xff;
    if (next === 0) store<u8>(to++, 0xff);
    else if ((next & 0xf8) === 0xd0) {
      if (restartCount < mostRestarts) store<u32>(restarts + 4 * restartCount++, to);
    } else if (next !== 0xff) break;
    // one byte of ones before another only fills up
    from += next === 0xff ? 1 : 2;
  }
  memory.fill(to, 0, ROOM);
  return to;
}

// Globals are memory to a compiler: the loops below keep the reader's state in locals, and put it back when they end.

/** The next code of a table, its length in the upper byte; `next` is the next 16 bits. 0 where there is none. */
function codeOf(lookup: u32, next: u32): u32 {
  const short: u32 = load<u16>(lookup + LOOKUP_BYTES + ((next >> (16 - SHORT_BITS)) << 1));
  return short !== 0 ? short : <u32>load<u16>(lookup + (next << 1));
}

/** What the last `size` bits of a value stand for (F.2.2.1, EXTEND). */
function signed(bits: u32, size: u32): i32 {
  if (size === 0) return 0;
  const value = <i32>(bits & ((1 << size) - 1));
  return value < 1 << (size - 1) ? value - (1 << size) + 1 : value;
}

/** Reads the difference of a block's mean from the one before it. */
export function difference(lookup: u32): i32 {
  if (held <= 32) {
    buffer = (buffer << 32) | bswap<u32>(load<u32>(at));
    at += 4;
    held += 32;
  }
  const code = codeOf(lookup, <u32>(buffer >> (held - 16)) & 0xffff);
  const size = code & 0xff;
  if (code === 0 || size > 16) {
    isBroken = true;
    return 0;
  }
  held -= (code >> 8) + size;
  return signed(<u32>(buffer >> held), size);
}

/**
 * Reads a block's coefficients into `places` and `sizes`; returns how many they are, or −1 for a lively block: one with `lively`
 * and more in the sum of their squares, of which no more are kept.
 */
export function coefficients(lookup: u32, steps: u32, lively: f64): i32 {
  let from = at;
  let bits = buffer;
  let left = held;
  let k: u32 = 1;
  let count = 0;
  let energy: f64 = 0;
  while (k < 64) {
    if (left <= 32) {
      bits = (bits << 32) | bswap<u32>(load<u32>(from));
      from += 4;
      left += 32;
    }
    const code = codeOf(lookup, <u32>(bits >> (left - 16)) & 0xffff);
    const size = code & 15;
    left -= (code >> 8) + size;
    if (size === 0) {
      if (code === 0) isBroken = true;
      if ((code & 0xff) !== SIXTEEN_ZEROS) break;
      k += 16;
      continue;
    }
    k += (code >> 4) & 15;
    if (k > 63) {
      isBroken = true;
      break;
    }
    if (energy < lively) {
      const coefficient = <f64>(<i32>load<u16>(steps + 2 * k) * signed(<u32>(bits >> left), size));
      energy += coefficient * coefficient;
      store<u32>(places + 4 * count, k);
      store<f32>(sizes + 4 * count, <f32>coefficient);
      count++;
    }
    k++;
  }
  if (k > 64) isBroken = true;
  at = from;
  buffer = bits;
  held = left;
  return energy >= lively ? -1 : count;
}

/** Puts the short codes of a table behind it, in a table of their own that stays in a processor's nearest cache. */
export function shorten(lookup: u32): void {
  for (let code: u32 = 0; code < 1 << SHORT_BITS; code++) {
    const entry = load<u16>(lookup + (code << (17 - SHORT_BITS)));
    store<u16>(lookup + LOOKUP_BYTES + (code << 1), entry >> 8 <= SHORT_BITS ? entry : 0);
  }
}
