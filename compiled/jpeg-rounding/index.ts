/**
 * What a decoder's rounding to 8 bit takes off each block of a baseline JPEG, from its entropy-coded data: AssemblyScript, see
 * README.md. `src/core/photo/jpeg` lays the memory out, calls it and says what it is for.
 */
import { decode, EVEN, greenRounding, LIVELY, lost, QUIET, rounded, tableRounding, useWaves } from './lost';
import {
  BLOCK_BYTES,
  coefficients,
  difference,
  isSound,
  openScan,
  ROOM,
  restartBehind,
  shorten,
} from './scan';

/** Sums of coefficients' squares, 64 × the variance of a block's pixels, from which rounding up and down is alike. */
const LIVELY_ENERGY: f64 = 32;
/** Any scatter at all: luma is seldom even, and working its quiet blocks out too gained 3 % in colour for twice the time. */
const LIVELY_LUMA: f64 = 1;
/** Offsets are told in 64ths of a step. */
const UNIT: f64 = 64;

/** What rounding took off each luma block of a unit. */
const lumaLost = memory.data(4 * 8);
// decoded pixels of the last two chroma blocks
const blue = memory.data(BLOCK_BYTES, 16);
const red = memory.data(BLOCK_BYTES, 16);

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
let restartInterval: u32 = 0;
let unitsAcross: u32 = 0;
let across: u32 = 0;
let down: u32 = 0;
let offsets: u32 = 0;
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
  restartInterval = interval;
  unitsAcross = rowOfUnits;
  across = lumaAcross;
  down = lumaDown;
  offsets = offsetsAt;
  useWaves(wavesAt);
  openScan(scan, length, restartsAt, mostRestarts);
  for (let c: u32 = 0; c < 3 * COMPONENT_BYTES; c += COMPONENT_BYTES) {
    shorten(load<u32>(components + c + DC));
    shorten(load<u32>(components + c + AC));
  }
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
      if (!restartBehind(unit / restartInterval - 1)) return false;
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
    if (!isSound()) return false;
    const lostB = lost(kindB, meanB, blue);
    const lostR = lost(kindR, meanR, red);
    const lostRed = 1.402 * lostR + tableRounding(kindR, meanR, red, 1.402);
    const lostGreen =
      -0.344136 * lostB - 0.714136 * lostR + greenRounding(kindB, meanB, blue, kindR, meanR, red);
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
  const count = coefficients(load<u32>(component + AC), load<u32>(component + STEPS), LIVELY_ENERGY);
  if (count === 0) return EVEN;
  if (count < 0) return LIVELY;
  decode(decoded, mean, count);
  return QUIET;
}
