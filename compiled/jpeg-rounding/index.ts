/**
 * What a decoder's rounding to 8 bit takes off each block of a baseline JPEG, from its entropy-coded data: AssemblyScript, see
 * README.md. `src/core/photo/jpeg` lays the memory out, calls it and says what it is for.
 *
 * All sections named are those of ITU-T T.81.
 */

/** A table of codes: a code's length in the upper byte, its value in the lower, by the next 16 bits; 0 for no code. */
const LOOKUP_BYTES: u32 = 131072;
const SHORT_BITS: u32 = 10;
/** Sums of coefficients' squares, 64 × the variance of a block's pixels, from which rounding up and down is alike. */
const LIVELY: f64 = 32;
/** Any scatter at all: luma is seldom even, and working its quiet blocks out too gained 3 % in colour for twice the time. */
const LIVELY_LUMA: f64 = 1;
/** The code of sixteen coefficients that are nothing. */
const SIXTEEN_ZEROS: u32 = 0xf0;
/** Offsets are told in 64ths of a step. */
const UNIT: f64 = 64;
/** Zeros behind the data, for a unit that begins in them and goes on beyond: at most 640 codes of 31 bits. */
const ROOM: u32 = 2560;

// what kind of block it is: no coefficient but the mean; some, little; pixels that scatter by more than a step
const EVEN: i32 = 0;
const QUIET: i32 = 1;
const LIVELY_KIND: i32 = 2;

// the reader: `held` bits of `buffer` are still to be read
let at: u32 = 0;
let buffer: u64 = 0;
let held: u32 = 0;
let isBroken: bool = false;
let restartCount: u32 = 0;

/** 64 numbers of 32 bits. */
const BLOCK_BYTES: u32 = 256;

// the last chroma block's coefficients but the mean: where in zigzag order, and how large
const places = memory.data(BLOCK_BYTES);
const sizes = memory.data(BLOCK_BYTES);
/** What rounding took off each luma block of a unit. */
const lumaLost = memory.data(4 * 8);
// decoded pixels of the last two chroma blocks
const blue = memory.data(BLOCK_BYTES, 16);
const red = memory.data(BLOCK_BYTES, 16);

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
function difference(lookup: u32): i32 {
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
function coefficients(lookup: u32, steps: u32, lively: f64): i32 {
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

function rounded(x: f64): f64 {
  return floor<f64>(x + 0.5);
}

function roundedAll(x: v128): v128 {
  return f32x4.floor(f32x4.add(x, f32x4.splat(0.5)));
}

/** What four values lose when they are rounded. */
function lostOf(exact: v128): v128 {
  return f32x4.sub(exact, roundedAll(exact));
}

function mean64(sums: v128): f64 {
  const sum =
    f32x4.extract_lane(sums, 0) +
    f32x4.extract_lane(sums, 1) +
    f32x4.extract_lane(sums, 2) +
    f32x4.extract_lane(sums, 3);
  return <f64>sum / 64;
}

/** What a decoder makes of a chroma block's pixels: whole numbers. `waves` holds each coefficient's picture, 64 × 64. */
function decode(into: usize, mean: f64, count: i32): void {
  const even = f32x4.splat(<f32>mean);
  for (let i: u32 = 0; i < BLOCK_BYTES; i += 16) {
    let sum = even;
    for (let n = 0; n < count; n++) {
      const wave = waves + load<u32>(places + 4 * n) * BLOCK_BYTES + i;
      sum = f32x4.add(sum, f32x4.mul(v128.load32_splat(sizes + 4 * n), v128.load(wave)));
    }
    v128.store(into + i, roundedAll(sum));
  }
}

/** A block's mean less the mean of its decoded pixels, steps. */
function lost(kind: i32, mean: f64, decoded: usize): f64 {
  if (kind === LIVELY_KIND) return 0;
  if (kind === EVEN) return mean - rounded(mean);
  let sums = f32x4.splat(0);
  for (let i: u32 = 0; i < BLOCK_BYTES; i += 16) sums = f32x4.add(sums, v128.load(decoded + i));
  return mean - mean64(sums);
}

/** What decoders round off a chroma's part in red or blue, which they take from tables of whole numbers. */
function tableRounding(kind: i32, mean: f64, decoded: usize, factor: f64): f64 {
  if (kind === LIVELY_KIND) return 0;
  if (kind === EVEN) {
    const exact = factor * (rounded(mean) - 128);
    return exact - rounded(exact);
  }
  const by = f32x4.splat(<f32>factor);
  const grey = f32x4.splat(128);
  let sums = f32x4.splat(0);
  for (let i: u32 = 0; i < BLOCK_BYTES; i += 16)
    sums = f32x4.add(sums, lostOf(f32x4.mul(by, f32x4.sub(v128.load(decoded + i), grey))));
  return mean64(sums);
}

/** The same of both chromas' part in green. */
function greenRounding(kindB: i32, meanB: f64, kindR: i32, meanR: f64): f64 {
  if (kindB === LIVELY_KIND || kindR === LIVELY_KIND) return 0;
  const evenB = rounded(meanB);
  const evenR = rounded(meanR);
  if (kindB === EVEN && kindR === EVEN) {
    const exact = -0.344136 * (evenB - 128) - 0.714136 * (evenR - 128);
    return exact - rounded(exact);
  }
  const grey = f32x4.splat(128);
  let sums = f32x4.splat(0);
  for (let i: u32 = 0; i < BLOCK_BYTES; i += 16) {
    const b = kindB === EVEN ? f32x4.splat(<f32>evenB) : v128.load(blue + i);
    const r = kindR === EVEN ? f32x4.splat(<f32>evenR) : v128.load(red + i);
    const exact = f32x4.add(
      f32x4.mul(f32x4.splat(-0.344136), f32x4.sub(b, grey)),
      f32x4.mul(f32x4.splat(-0.714136), f32x4.sub(r, grey)),
    );
    sums = f32x4.add(sums, lostOf(exact));
  }
  return mean64(sums);
}

/** Puts the short codes of a table behind it, in a table of their own that stays in a processor's nearest cache. */
function shorten(lookup: u32): void {
  for (let code: u32 = 0; code < 1 << SHORT_BITS; code++) {
    const entry = load<u16>(lookup + (code << (17 - SHORT_BITS)));
    store<u16>(lookup + LOOKUP_BYTES + (code << 1), entry >> 8 <= SHORT_BITS ? entry : 0);
  }
}

/** Where memory is free: the caller lays out what follows. */
export function firstFree(): usize {
  return __heap_base;
}

export function roomBehind(): u32 {
  return ROOM;
}

/** A component of the scan, as `components` lists them: where its tables are. */
const DC: u32 = 0;
const AC: u32 = 4;
const STEPS: u32 = 8;
const COMPONENT_BYTES: u32 = 12;

// the photo that is being read, as `begin` was told
let components: u32 = 0;
let waves: u32 = 0;
let restarts: u32 = 0;
let restartInterval: u32 = 0;
let unitsAcross: u32 = 0;
let across: u32 = 0;
let down: u32 = 0;
let offsets: u32 = 0;
/** Where its data end. */
let end: u32 = 0;
/** The next unit of its scan, and the last means of the three components, in steps. */
let unit: u32 = 0;
let dcY: i32 = 0;
let dcB: i32 = 0;
let dcR: i32 = 0;

/**
 * Begins with a photo; `readUnits` goes on.
 *
 * @param scan where the entropy-coded data are, `length` bytes with `roomBehind()` more behind them; they are changed
 * @param componentsAt three times three u32, for Y, Cb and Cr: where the tables of codes of means and of coefficients are
 * (65536 u16 with room for 1024 more), and the quantization steps (64 u16 in zigzag order)
 * @param wavesAt pictures of the 64 coefficients in zigzag order, 64 f32 each
 * @param restartsAt room for `mostRestarts` u32, one a restart marker
 * @param interval units between restart markers; 0 without
 * @param lumaAcross blocks of luma a unit, side by side; `lumaDown`: one above the other
 * @param offsetsAt room for three i8 a block of luma, red, green and blue, row by row
 */
export function begin(
  scan: u32,
  length: u32,
  componentsAt: u32,
  wavesAt: u32,
  restartsAt: u32,
  mostRestarts: u32,
  interval: u32,
  rowOfUnits: u32,
  lumaAcross: u32,
  lumaDown: u32,
  offsetsAt: u32,
): void {
  components = componentsAt;
  waves = wavesAt;
  restarts = restartsAt;
  restartInterval = interval;
  unitsAcross = rowOfUnits;
  across = lumaAcross;
  down = lumaDown;
  offsets = offsetsAt;
  end = unstuff(scan, length, mostRestarts);
  for (let c: u32 = 0; c < 3 * COMPONENT_BYTES; c += COMPONENT_BYTES) {
    shorten(load<u32>(components + c + DC));
    shorten(load<u32>(components + c + AC));
  }
  at = scan;
  buffer = 0;
  held = 0;
  isBroken = false;
  unit = 0;
  dcY = dcB = dcR = 0;
}

/**
 * Reads the next so many units and fills their offsets: true mean less decoded pixels' mean, in 64ths of a step. False
 * when the data are broken or cut short.
 *
 * To be called for a row or so at a time: an engine puts its better code in the place of its first between calls.
 */
export function readUnits(count: u32): bool {
  const luma = components;
  const cb = components + COMPONENT_BYTES;
  const cr = cb + COMPONENT_BYTES;
  const lumaStep = <f64>load<u16>(load<u32>(luma + STEPS)) / 8;
  const bStep = <f64>load<u16>(load<u32>(cb + STEPS)) / 8;
  const rStep = <f64>load<u16>(load<u32>(cr + STEPS)) / 8;
  const columns = unitsAcross * across;
  for (let left = count; left > 0; left--) {
    if (restartInterval > 0 && unit > 0 && unit % restartInterval === 0) {
      const marker = unit / restartInterval - 1;
      if (marker >= restartCount) return false;
      at = load<u32>(restarts + 4 * marker);
      held = 0;
      dcY = dcB = dcR = 0;
    }
    for (let i: u32 = 0; i < across * down; i++) {
      dcY += difference(load<u32>(luma + DC));
      const mean = <f64>dcY * lumaStep + 128;
      const count = coefficients(load<u32>(luma + AC), load<u32>(luma + STEPS), LIVELY_LUMA);
      store<f64>(lumaLost + 8 * i, count === 0 ? mean - rounded(mean) : 0);
    }
    dcB += difference(load<u32>(cb + DC));
    const meanB = <f64>dcB * bStep + 128;
    const kindB = readChroma(cb, meanB, blue);
    dcR += difference(load<u32>(cr + DC));
    const meanR = <f64>dcR * rStep + 128;
    const kindR = readChroma(cr, meanR, red);
    if (isBroken || at - (held >> 3) > end) return false;
    const lostB = lost(kindB, meanB, blue);
    const lostR = lost(kindR, meanR, red);
    const lostRed = 1.402 * lostR + tableRounding(kindR, meanR, red, 1.402);
    const lostGreen = -0.344136 * lostB - 0.714136 * lostR + greenRounding(kindB, meanB, kindR, meanR);
    const lostBlue = 1.772 * lostB + tableRounding(kindB, meanB, blue, 1.772);
    const corner = (unit / unitsAcross) * down * columns + (unit % unitsAcross) * across;
    for (let i: u32 = 0; i < across * down; i++) {
      const own = load<f64>(lumaLost + 8 * i);
      const to = offsets + 3 * (corner + (i / across) * columns + (i % across));
      store<i8>(to, <i8>rounded(UNIT * (own + lostRed)));
      store<i8>(to + 1, <i8>rounded(UNIT * (own + lostGreen)));
      store<i8>(to + 2, <i8>rounded(UNIT * (own + lostBlue)));
    }
    unit++;
  }
  return true;
}

/** Reads a chroma block, its pixels into `decoded` where they matter; returns its kind. */
function readChroma(component: u32, mean: f64, decoded: usize): i32 {
  const count = coefficients(load<u32>(component + AC), load<u32>(component + STEPS), LIVELY);
  if (count === 0) return EVEN;
  if (count < 0) return LIVELY_KIND;
  decode(decoded, mean, count);
  return QUIET;
}
