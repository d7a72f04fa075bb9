/** What a decoder's rounding takes off a block whose coefficients are known. */
import { BLOCK_BYTES, places, sizes } from './scan';

// what kind of block it is: no coefficient but the mean; some, little; pixels that scatter by more than a step
export const EVEN: i32 = 0;
export const QUIET: i32 = 1;
export const LIVELY: i32 = 2;

/** Pictures of the 64 coefficients, in zigzag order. */
let waves: u32 = 0;

export function useWaves(wavesAt: u32): void {
  waves = wavesAt;
}

export function rounded(x: f64): f64 {
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

/** What a decoder makes of a chroma block's pixels: whole numbers. */
export function decode(into: usize, mean: f64, count: i32): void {
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
export function lost(kind: i32, mean: f64, decoded: usize): f64 {
  if (kind === LIVELY) return 0;
  if (kind === EVEN) return mean - rounded(mean);
  let sums = f32x4.splat(0);
  for (let i: u32 = 0; i < BLOCK_BYTES; i += 16) sums = f32x4.add(sums, v128.load(decoded + i));
  return mean - mean64(sums);
}

/** What decoders round off a chroma's part in red or blue, which they take from tables of whole numbers. */
export function tableRounding(kind: i32, mean: f64, decoded: usize, factor: f64): f64 {
  if (kind === LIVELY) return 0;
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
export function greenRounding(kindB: i32, meanB: f64, blue: usize, kindR: i32, meanR: f64, red: usize): f64 {
  if (kindB === LIVELY || kindR === LIVELY) return 0;
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
