/** A dark square's edges, laid on the light: what for stands in `src/core/card/find/edges.ts`. */
import { hypot } from '../math';
import { at, behind, put, sort } from '../numbers';
import { lightAt } from './light';
import { intersect, isSound, sideLength } from './quads';

/** A round that moves no corner farther than this was the last. */
const SETTLED_PX: f64 = 0.01;
/** Parts of a side left out at both ends, where corners round the edge off. */
const END: f64 = 0.07;
/** Places along a side, at most. */
const MOST_PLACES: i32 = 64;
/** Step of light that an edge shows at least. */
const LEAST_EDGE: f64 = 0.004;

// one number a place

let position: usize = 0;
let offset: usize = 0;
let spread2: usize = 0;
let weight: usize = 0;
let base: usize = 0;
let robust: usize = 0;
let residual: usize = 0;
let sorted: usize = 0;

let lines: usize = 0;
let moved: usize = 0;
let slopes: usize = 0;

// a side's edge: offset (px, outward), slope (px over the whole side), variance of the blur, share of the places that show it

let edge: f64 = 0;
let slope: f64 = 0;
let blur2: f64 = 0;
let seen: f64 = 0;

function halfSteps(reach: f64): i32 {
  return <i32>ceil(reach / min(0.5, reach / 6));
}

/** Bytes that a fit with such a reach works with. */
export function fitBytes(reach: f64): i32 {
  return 8 * (8 * MOST_PLACES + 20 + 2 * halfSteps(max(2.5, reach)));
}

/**
 * Moves the corners so that the sides lie in the middle of the light's slope. Behind them stand the edges' blur (standard deviation,
 * px) and the part of the places that showed an edge. False where there are no edges, or no square of them.
 */
export function fitSquare(corners: usize, reach_px: f64, places: i32, rounds: i32, work: usize): bool {
  position = work;
  offset = behind(position, MOST_PLACES);
  spread2 = behind(offset, MOST_PLACES);
  weight = behind(spread2, MOST_PLACES);
  base = behind(weight, MOST_PLACES);
  robust = behind(base, MOST_PLACES);
  residual = behind(robust, MOST_PLACES);
  sorted = behind(residual, MOST_PLACES);
  lines = behind(sorted, MOST_PLACES);
  moved = behind(lines, 12);
  slopes = behind(moved, 8);
  let blur: f64 = 0;
  let support: f64 = 0;
  for (let round = 0; round < rounds; round++) {
    const reach = round === 0 ? reach_px : min(reach_px, max(2.5, 3 * blur + 1));
    let variance: f64 = 0;
    support = 0;
    for (let side = 0; side < 4; side++) {
      if (!fitSide(corners, side, reach, places)) return false;
      writeLine(corners, side);
      variance += blur2 / 4;
      support += seen / 4;
    }
    if (!intersect(lines, moved) || !isSound(moved)) return false;
    let farthest: f64 = 0;
    for (let i = 0; i < 8; i++) farthest = max(farthest, abs(at(moved, i) - at(corners, i)));
    memory.copy(corners, moved, 64);
    blur = sqrt(variance);
    if (farthest < SETTLED_PX && round > 0) break;
  }
  put(corners, 8, blur);
  put(corners, 9, support);
  return true;
}

function writeLine(corners: usize, side: i32): void {
  const a = 2 * side;
  const b = 2 * ((side + 1) & 3);
  const length = sideLength(corners, side);
  const dx = (at(corners, b) - at(corners, a)) / length;
  const dy = (at(corners, b + 1) - at(corners, a + 1)) / length;
  // two points of the new line: offsets along the outward normal (dy, −dx) at both ends
  const start = edge - slope * 0.5;
  const end = edge + slope * 0.5;
  const x0 = at(corners, a) + dy * start;
  const y0 = at(corners, a + 1) - dx * start;
  const x1 = at(corners, b) + dy * end;
  const y1 = at(corners, b + 1) - dx * end;
  const l = hypot(x1 - x0, y1 - y0, 0);
  const nx = (y1 - y0) / l;
  const ny = -(x1 - x0) / l;
  put(lines, 3 * side, nx);
  put(lines, 3 * side + 1, ny);
  put(lines, 3 * side + 2, nx * x0 + ny * y0);
}

function fitSide(corners: usize, side: i32, reach: f64, places: i32): bool {
  const a = 2 * side;
  const b = 2 * ((side + 1) & 3);
  const length = sideLength(corners, side);
  const dx = (at(corners, b) - at(corners, a)) / length;
  const dy = (at(corners, b + 1) - at(corners, a + 1)) / length;
  const step = min(0.5, reach / 6);
  const half = halfSteps(reach);
  for (let i = 0; i < places; i++) {
    const t = END + ((1 - 2 * END) * (<f64>i + 0.5)) / <f64>places;
    put(position, i, t - 0.5);
    const x = at(corners, a) + dx * t * length;
    const y = at(corners, a + 1) + dy * t * length;
    let before = lightAt(x - dy * <f64>half * step, y + dx * <f64>half * step);
    let steepest: f64 = 0;
    for (let k = 0; k < 2 * half; k++) {
      const s = <f64>(k + 1 - half) * step;
      const here = lightAt(x + dy * s, y - dx * s);
      const rise = here - before;
      put(slopes, k, rise);
      before = here;
      if (rise > steepest) steepest = rise;
    }
    findCentre(steepest, half, step, i);
  }
  return fitLine(places);
}

/** Centre of mass and spread of the light's slope at one place. */
function findCentre(steepest: f64, half: i32, step: f64, i: i32): void {
  const floor = 0.15 * steepest;
  let mass: f64 = 0;
  let first: f64 = 0;
  let second: f64 = 0;
  for (let k = 0; k < 2 * half; k++) {
    const g = at(slopes, k) - floor;
    if (g <= 0) continue;
    const s = (<f64>k + 0.5 - <f64>half) * step;
    mass += g;
    first += g * s;
    second += g * s * s;
  }
  const middle = mass > 0 ? first / mass : 0;
  put(weight, i, mass);
  put(offset, i, middle);
  put(spread2, i, mass > 0 ? second / mass - middle * middle : 0);
}

/** Weighted line through the offsets, outliers taken out by Tukey's biweight over a few rounds. */
function fitLine(n: i32): bool {
  const typical = medianOf(weight, n);
  if (!(typical > LEAST_EDGE)) return false;
  for (let i = 0; i < n; i++) {
    const w = at(weight, i);
    put(base, i, w > 0.35 * typical ? min(1, w / typical) : 0);
  }
  memory.copy(robust, base, 8 * n);
  for (let round = 0; round < 4; round++) {
    if (!fitWeighted(n)) return false;
    for (let i = 0; i < n; i++) put(residual, i, abs(at(offset, i) - edge - slope * at(position, i)));
    const scale = max(0.05, 4.685 * 1.4826 * medianOf(residual, n));
    for (let i = 0; i < n; i++) {
      const r = at(residual, i) / scale;
      const near = 1 - r * r;
      put(robust, i, r < 1 ? at(base, i) * (near * near) : 0);
    }
  }
  seen = 0;
  for (let i = 0; i < n; i++) if (at(robust, i) > 0) seen += 1 / <f64>n;
  return true;
}

function fitWeighted(n: i32): bool {
  let w: f64 = 0;
  let wt: f64 = 0;
  let wtt: f64 = 0;
  let wo: f64 = 0;
  let wto: f64 = 0;
  let spread: f64 = 0;
  for (let i = 0; i < n; i++) {
    const t = at(position, i);
    const here = at(robust, i);
    w += here;
    wt += here * t;
    wtt += here * t * t;
    wo += here * at(offset, i);
    wto += here * t * at(offset, i);
    spread += here * at(spread2, i);
  }
  const det = w * wtt - wt * wt;
  if (!(det > 1e-6 * w * w) || !(w > 0.2 * <f64>n)) return false;
  slope = (w * wto - wt * wo) / det;
  edge = (wo - slope * wt) / w;
  blur2 = spread / w;
  return true;
}

/** The upper of two middle values. */
function medianOf(values: usize, n: i32): f64 {
  memory.copy(sorted, values, 8 * n);
  sort(sorted, n);
  return at(sorted, n >> 1);
}
