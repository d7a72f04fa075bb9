/**
 * The plane of log light over an area's tiles: what it is for stands in `src/core/photo/sample-field.ts`. Tiles are those of
 * `addTiles`: pixels, sums of u and v and of three roots, f64 each.
 */
import { exp, log } from '../math';
import { at, put } from '../numbers';

/** Tiles with fewer pixels than this say too little to be judged by themselves. */
const FEWEST_TILE_PIXELS: f64 = 4;
/** Fewer tiles than this make no plane. */
const FEWEST_TILES: i32 = 9;
/** Share of the tiles the plane must explain: as much as 40 % may be glare or spots. */
const KEPT_SHARE: f64 = 0.6;
/** ln of the steepest fall-off believed across an area. */
const STEEPEST: f64 = 1.2;
/** Channels with a median below this root value are at the floor and say nothing of the light. */
const FLOOR_ROOT: f64 = 8;
/** Concentration steps tried from every start, and in all from the best. */
const FIRST_STEPS: i32 = 2;
const ALL_STEPS: i32 = 8;

/** Tiles that there is room for, and arrays of as many f64. */
const MOST_TILES: i32 = 196;
const ARRAYS: i32 = 10;

// the tiles that can be judged: places and, per channel, ln of linear light and 1 / variance of its scatter

let count: i32 = 0;
let channels: i32 = 0;
let us: usize = 0;
let vs: usize = 0;
let lns: usize = 0;
let weights: usize = 0;

// the plane

let alongU: f64 = 0;
let alongV: f64 = 0;
let levels: usize = 0;

// members (1 in, 0 out) of the plane being tried, of the next, and of the best start; distances; something to sort

let members: usize = 0;
let following: usize = 0;
let best: usize = 0;
let misfits: usize = 0;
let sorted: usize = 0;

function array(workspace: usize, k: i32): usize {
  return workspace + <usize>(8 * MOST_TILES * k);
}

/** Bytes of the workspace. */
export function fallOffBytes(): i32 {
  return 8 * (MOST_TILES * ARRAYS + 6);
}

/**
 * Fits one plane through all tiles. True where none of them leaves it by more than `within` root steps in any channel; alongU and
 * alongV then stand in `out`.
 */
export function evenFallOff(tiles: usize, tileCount: i32, workspace: usize, within: f64, out: usize): bool {
  us = array(workspace, 0);
  vs = array(workspace, 1);
  lns = array(workspace, 2);
  members = array(workspace, 5);
  following = array(workspace, 6);
  best = array(workspace, 7);
  misfits = array(workspace, 8);
  sorted = array(workspace, 9);
  weights = array(workspace, ARRAYS);
  levels = weights + 24;
  takeLogs(tiles, tileCount);
  if (count < FEWEST_TILES || channels < 3) return false;
  for (let i = 0; i < count; i++) put(members, i, 1);
  fitPlane(members);
  for (let c = 0; c < 3; c++) {
    // a step of d in the logarithm of light is one of root·d/3 in its root
    const limit = (3 * within) / (100 * exp(at(levels, c) / 3));
    const ln = array(lns, c);
    for (let i = 0; i < count; i++)
      if (abs(at(ln, i) - at(levels, c) - alongU * at(us, i) - alongV * at(vs, i)) > limit) return false;
  }
  handOver(out);
  return true;
}

/** Fits the plane of the best tiles, after `evenFallOff` of the same; alongU and alongV then stand in `out`. */
export function fitFallOff(out: usize): void {
  alongU = 0;
  alongV = 0;
  if (count >= FEWEST_TILES && channels > 0) {
    let least = Infinity;
    for (let start = 0; start < 5; start++) {
      begin(start);
      const misfit = concentrate(FIRST_STEPS);
      if (misfit < least * (1 - 1e-9)) {
        least = misfit;
        memory.copy(best, members, 8 * count);
      }
    }
    if (least === Infinity) begin(0);
    else memory.copy(members, best, 8 * count);
    concentrate(ALL_STEPS);
    fitPlane(members);
  }
  handOver(out);
}

function handOver(out: usize): void {
  put(out, 0, alongU);
  put(out, 1, alongV);
}

/** Members to start from: the whole area and each of its halves. */
function begin(start: i32): void {
  const places = start < 3 ? us : vs;
  for (let i = 0; i < count; i++) {
    const isLow = at(places, i) < 0;
    put(members, i, start === 0 || isLow === (start === 1 || start === 3) ? 1 : 0);
  }
}

function takeLogs(tiles: usize, tileCount: i32): void {
  count = 0;
  channels = 0;
  for (let t = 0; t < tileCount; t++) {
    const tile = tiles + <usize>(48 * t);
    const pixels = load<f64>(tile);
    if (pixels < FEWEST_TILE_PIXELS) continue;
    const per = 1 / pixels;
    put(us, count, load<f64>(tile, 8) * per);
    put(vs, count, load<f64>(tile, 16) * per);
    for (let c = 0; c < 3; c++) put(array(lns, c), count, load<f64>(tile + 8 * c, 24) * per);
    count++;
  }
  for (let c = 0; c < 3; c++) {
    const from = array(lns, c);
    const ln = array(lns, channels);
    if (medianOf(from) < FLOOR_ROOT) continue;
    // a tenth of a root step keeps the logarithm of black finite
    for (let i = 0; i < count; i++) put(ln, i, 3 * log(max(0.1, at(from, i)) / 100));
    const middle = medianOf(ln);
    for (let i = 0; i < count; i++) put(misfits, i, abs(at(ln, i) - middle));
    const scatter = 1.4826 * medianOf(misfits);
    put(weights, channels++, 1 / (scatter * scatter + 1e-5));
  }
}

/**
 * Fits the members, takes the best-fitting 60 % as members, and so on while the misfit falls; hands the last one back (Rousseeuw and
 * Van Driessen 2006).
 */
function concentrate(steps: i32): f64 {
  const keep = <i32>ceil(KEPT_SHARE * <f64>count);
  let misfit = Infinity;
  for (let step = 0; step < steps; step++) {
    fitPlane(members);
    findMisfits();
    memory.copy(sorted, misfits, 8 * count);
    const limit = rankOf(sorted, keep - 1);
    let total: f64 = 0;
    for (let i = 0; i < count; i++) {
      const isIn = at(misfits, i) <= limit;
      if (isIn) total += at(misfits, i);
      put(following, i, isIn ? 1 : 0);
    }
    if (total >= misfit * (1 - 1e-6)) break;
    misfit = total;
    memory.copy(members, following, 8 * count);
  }
  return misfit;
}

function findMisfits(): void {
  for (let i = 0; i < count; i++) {
    let misfit: f64 = 0;
    for (let c = 0; c < channels; c++) {
      const d = at(array(lns, c), i) - at(levels, c) - alongU * at(us, i) - alongV * at(vs, i);
      misfit += at(weights, c) * d * d;
    }
    put(misfits, i, misfit);
  }
}

/** Least squares of slopes shared by the channels and a level for each. */
function fitPlane(members: usize): void {
  let n: f64 = 0;
  let mu: f64 = 0;
  let mv: f64 = 0;
  for (let i = 0; i < count; i++) {
    n += at(members, i);
    mu += at(members, i) * at(us, i);
    mv += at(members, i) * at(vs, i);
  }
  const some = max(1, n);
  mu /= some;
  mv /= some;
  let uu: f64 = 0;
  let uv: f64 = 0;
  let vv: f64 = 0;
  for (let i = 0; i < count; i++) {
    const du = at(members, i) * (at(us, i) - mu);
    const dv = at(members, i) * (at(vs, i) - mv);
    uu += du * du;
    uv += du * dv;
    vv += dv * dv;
  }
  let ul: f64 = 0;
  let vl: f64 = 0;
  let all: f64 = 0;
  for (let c = 0; c < channels; c++) {
    const ln = array(lns, c);
    let mean: f64 = 0;
    let du: f64 = 0;
    let dv: f64 = 0;
    for (let i = 0; i < count; i++) {
      const value = at(members, i) * at(ln, i);
      mean += value;
      du += (at(us, i) - mu) * value;
      dv += (at(vs, i) - mv) * value;
    }
    const weight = at(weights, c);
    ul += weight * du;
    vl += weight * dv;
    all += weight;
    put(levels, c, mean / some);
  }
  const det = uu * vv - uv * uv;
  const solvable = n >= 4 && det > 1e-12;
  alongU = solvable ? bounded((vv * ul - uv * vl) / det / all) : 0;
  alongV = solvable ? bounded((uu * vl - uv * ul) / det / all) : 0;
  for (let c = 0; c < channels; c++) put(levels, c, at(levels, c) - alongU * mu - alongV * mv);
}

function bounded(slope: f64): f64 {
  return max(-STEEPEST, min(STEEPEST, slope));
}

/** Middle of as many values as there are tiles, which stay as they are; 0 without any. */
function medianOf(values: usize): f64 {
  if (count === 0) return 0;
  memory.copy(sorted, values, 8 * count);
  const upper = rankOf(sorted, count >> 1);
  if (count & 1) return upper;
  let lower = -Infinity;
  for (let i = 0; i < count >> 1; i++) lower = max(lower, at(sorted, i));
  return (lower + upper) / 2;
}

/** The k-th smallest (from 0) of the values, which are left in two parts around it (Hoare 1961). */
function rankOf(values: usize, k: i32): f64 {
  let lo = 0;
  let hi = count - 1;
  while (lo < hi) {
    const pivot = at(values, (lo + hi) >> 1);
    let i = lo;
    let j = hi;
    while (i <= j) {
      while (at(values, i) < pivot) i++;
      while (at(values, j) > pivot) j--;
      if (i <= j) {
        const swap = at(values, i);
        put(values, i++, at(values, j));
        put(values, j--, swap);
      }
    }
    if (k <= j) hi = j;
    else if (k >= i) lo = i;
    else break;
  }
  return at(values, k);
}
