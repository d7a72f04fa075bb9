/**
 * The map from readings relative to paper to XYZ: a root polynomial of degree 2 (Finlayson, Mackiewicz and
 * Hurlbert, IEEE Trans. Image Process. 24, 2015) trained on virtual panels seen through the fitted camera, plus
 * their kernel-smoothed relative residual.
 */
import { cholesky, choleskySolve, mirrorLower } from '../math/linear.ts';

const TERMS = 6;
const LOG_OFFSET = 0.004;

/** Training readings and XYZ of m things, row-major m × 3. */
export interface Training {
  readonly count: number;
  readonly readings: Float64Array;
  readonly xyz: Float64Array;
  readonly weights: Float64Array;
}

/** Root-polynomial terms of one reading, written to `out` at `at`. A reading below nothing counts as nothing. */
function rootTerms(r: number, g: number, b: number, out: Float64Array, at: number): void {
  const x = Math.max(r, 0);
  const y = Math.max(g, 0);
  const z = Math.max(b, 0);
  out[at] = r;
  out[at + 1] = g;
  out[at + 2] = b;
  out[at + 3] = Math.sqrt(x * y);
  out[at + 4] = Math.sqrt(y * z);
  out[at + 5] = Math.sqrt(x * z);
}

/** Weights Y^(−2/3) of training things: dark colours count as much as light ones. */
export function lightnessWeights(xyz: Float64Array): Float64Array {
  return Float64Array.from({ length: xyz.length / 3 }, (_, j) => Math.cbrt(xyz[3 * j + 1] + 0.002) ** -2);
}

/** Coefficients, 3 × 6 row-major, by least squares under the training's weights. */
export function trainPolynomial(training: Training): Float64Array {
  const h = new Float64Array(TERMS * TERMS);
  const b = new Float64Array(3 * TERMS);
  addTrained(training, h, b);
  mirrorLower(h, TERMS);
  let trace = 0;
  for (let p = 0; p < TERMS; p++) trace += h[p * TERMS + p];
  const l = cholesky(h, TERMS, 1e-7 * trace);
  for (let c = 0; c < 3; c++) choleskySolve(l, TERMS, b.subarray(c * TERMS, (c + 1) * TERMS));
  return b;
}

/** Adds the training's normal equations up: the lower triangle, and the right sides. */
function addTrained({ count, readings, xyz, weights }: Training, h: Float64Array, b: Float64Array): void {
  const t = new Float64Array(TERMS);
  for (let j = 0, at = 0; j < count; j++, at += 3) {
    rootTerms(readings[at], readings[at + 1], readings[at + 2], t, 0);
    const w = weights[j];
    const x = xyz[at];
    const y = xyz[at + 1];
    const z = xyz[at + 2];
    for (let p = 0; p < TERMS; p++) {
      const wp = w * t[p];
      for (let q = 0; q <= p; q++) h[p * TERMS + q] += wp * t[q];
      b[p] += wp * x;
      b[TERMS + p] += wp * y;
      b[2 * TERMS + p] += wp * z;
    }
  }
}

/** XYZ of one reading by the polynomial, written to `out` at `at`. */
export function applyPolynomial(
  m: Float64Array,
  r: number,
  g: number,
  b: number,
  out: Float64Array,
  at: number,
): void {
  rootTerms(r, g, b, scratch, 0);
  for (let c = 0; c < 3; c++) {
    let s = 0;
    for (let k = 0; k < TERMS; k++) s += m[c * TERMS + k] * scratch[k];
    out[at + c] = s;
  }
}
const scratch = new Float64Array(TERMS);

/** ln(reading + .004) of m readings: the space in which neighbours are near. */
export function logReadings(readings: Float64Array): Float64Array {
  return readings.map((v) => Math.log(Math.max(v, 0) + LOG_OFFSET));
}

/** Weights (sum 1) of the training things about one reading: Gaussian in log reading, widened until it holds enough. */
export function neighbourWeights(
  logTraining: Float64Array,
  reading: ArrayLike<number>,
  width: number,
): Float64Array {
  const count = logTraining.length / 3;
  const at = [0, 1, 2].map((c) => Math.log(Math.max(reading[c], 0) + LOG_OFFSET));
  const d2 = new Float64Array(count);
  let nearest = Number.POSITIVE_INFINITY;
  for (let j = 0; j < count; j++) {
    const x = logTraining[3 * j] - at[0];
    const y = logTraining[3 * j + 1] - at[1];
    const z = logTraining[3 * j + 2] - at[2];
    d2[j] = x * x + y * y + z * z;
    if (d2[j] < nearest) nearest = d2[j];
  }
  const w = new Float64Array(count);
  for (let h = width; ; h *= 1.35) {
    let sum = 0;
    let squares = 0;
    for (let j = 0; j < count; j++) {
      w[j] = Math.exp((-0.5 * (d2[j] - nearest)) / (h * h));
      sum += w[j];
      squares += w[j] * w[j];
    }
    if ((sum * sum) / squares >= MIN_NEIGHBOURS || h > 4) {
      for (let j = 0; j < count; j++) w[j] /= sum;
      return w;
    }
  }
}
const MIN_NEIGHBOURS = 6;

/** Relative residuals of the training things, (true − mapped) / mapped, m × 3. */
export function relativeResiduals(training: Training, m: Float64Array): Float64Array {
  const out = new Float64Array(3 * training.count);
  for (let j = 0; j < training.count; j++) {
    const at = 3 * j;
    const r = training.readings;
    applyPolynomial(m, r[at], r[at + 1], r[at + 2], out, at);
    for (let c = 0; c < 3; c++) {
      const mapped = Math.max(out[at + c], 1e-4);
      out[at + c] = Math.max(-0.8, Math.min(2, (training.xyz[at + c] - out[at + c]) / mapped));
    }
  }
  return out;
}
