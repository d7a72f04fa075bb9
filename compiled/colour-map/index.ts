/**
 * Training of the map from readings to XYZ, and the neighbours of a reading: AssemblyScript, see README.md. What they are for stands in
 * `src/core/correction/colour-map.ts`, which lays the memory out and calls them. All numbers are f64.
 */
import { factorise, solve } from '../linear';
import { exp } from '../math';
import { at, behind, put } from '../numbers';

/** Terms of a root polynomial of degree 2. */
const TERMS: i32 = 6;
/** Part of the normal equations' trace that keeps them solvable. */
const JITTER: f64 = 1e-7;
/** Neighbours are sought ever farther off until so many have a say, or until this far. */
const MIN_NEIGHBOURS: f64 = 6;
const WIDER: f64 = 1.35;
const WIDEST: f64 = 4;

export function firstFree(): usize {
  return __heap_base;
}

/** Numbers that training works with. */
export function workNumbers(): i32 {
  return TERMS + TERMS * TERMS;
}

/** Terms of one reading. One below nothing counts as nothing. */
function writeTerms(reading: usize, out: usize): void {
  const r = at(reading, 0);
  const g = at(reading, 1);
  const b = at(reading, 2);
  const x = max(r, 0);
  const y = max(g, 0);
  const z = max(b, 0);
  put(out, 0, r);
  put(out, 1, g);
  put(out, 2, b);
  put(out, 3, sqrt(x * y));
  put(out, 4, sqrt(y * z));
  put(out, 5, sqrt(x * z));
}

/**
 * Coefficients, 3 × 6, by least squares under the things' weights, to `out`. False when there is no such polynomial.
 */
export function train(
  count: i32,
  readings: usize,
  xyz: usize,
  weights: usize,
  out: usize,
  work: usize,
): bool {
  const terms = work;
  const h = behind(work, TERMS);
  for (let i = 0; i < TERMS * TERMS; i++) put(h, i, 0);
  for (let i = 0; i < 3 * TERMS; i++) put(out, i, 0);
  for (let j = 0; j < count; j++) {
    writeTerms(behind(readings, 3 * j), terms);
    const thing = behind(xyz, 3 * j);
    const w = at(weights, j);
    for (let p = 0; p < TERMS; p++) {
      const wp = w * at(terms, p);
      const row = behind(h, p * TERMS);
      for (let q = 0; q <= p; q++) put(row, q, at(row, q) + wp * at(terms, q));
      for (let c = 0; c < 3; c++) put(out, c * TERMS + p, at(out, c * TERMS + p) + wp * at(thing, c));
    }
  }
  let trace: f64 = 0;
  for (let p = 0; p < TERMS; p++) trace += at(h, p * TERMS + p);
  if (!factorise(h, TERMS, JITTER * trace, h)) return false;
  for (let c = 0; c < 3; c++) solve(h, TERMS, behind(out, c * TERMS));
  return true;
}

/**
 * How the coefficients `from` change with each of some modes of the readings, 18 numbers a mode, to `out`: trained anew with every mode
 * added `step` times to `raw`, floored, for which `readings` has room.
 */
export function findSlopes(
  count: i32,
  raw: usize,
  modes: usize,
  modeCount: i32,
  step: f64,
  floor: f64,
  readings: usize,
  xyz: usize,
  weights: usize,
  from: usize,
  out: usize,
  work: usize,
): bool {
  for (let m = 0; m < modeCount; m++) {
    const mode = behind(modes, 3 * count * m);
    for (let i = 0; i < 3 * count; i++) put(readings, i, max(at(raw, i) + step * at(mode, i), floor));
    const slope = behind(out, 3 * TERMS * m);
    if (!train(count, readings, xyz, weights, slope, work)) return false;
    for (let i = 0; i < 3 * TERMS; i++) put(slope, i, (at(slope, i) - at(from, i)) / step);
  }
  return true;
}

/** Weights (sum 1) of things about a place, all in log reading: Gaussian, widened until it holds enough. */
export function weighNeighbours(
  count: i32,
  places: usize,
  x: f64,
  y: f64,
  z: f64,
  width: f64,
  out: usize,
  squares: usize,
): void {
  let nearest = Infinity;
  for (let j = 0; j < count; j++) {
    const place = behind(places, 3 * j);
    const dx = at(place, 0) - x;
    const dy = at(place, 1) - y;
    const dz = at(place, 2) - z;
    const d2 = dx * dx + dy * dy + dz * dz;
    put(squares, j, d2);
    nearest = min(nearest, d2);
  }
  let h = width;
  let sum: f64 = 0;
  while (true) {
    sum = 0;
    let square: f64 = 0;
    for (let j = 0; j < count; j++) {
      const w = exp((-0.5 * (at(squares, j) - nearest)) / (h * h));
      put(out, j, w);
      sum += w;
      square += w * w;
    }
    if ((sum * sum) / square >= MIN_NEIGHBOURS || h > WIDEST) break;
    h *= WIDER;
  }
  for (let j = 0; j < count; j++) put(out, j, at(out, j) / sum);
}
