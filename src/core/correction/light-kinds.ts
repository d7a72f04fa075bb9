/** Kinds of light weighed by how well a fit's sensitivities agree with each: evidence and posterior in closed form. */
import { GRID } from '../color/index.ts';
import { cholesky, choleskySolve } from '../math/linear.ts';
import type { Fit } from './fit-model.ts';
import type { LightKindName, LightKindPrior } from './light-prior.ts';

const N = GRID.count;

/** A Gaussian of θ and P under one kind of light. */
export interface UnderKind {
  readonly name: LightKindName;
  readonly logEvidence: number;
  readonly theta: Float64Array;
  readonly spread: Float64Array;
  readonly power: Float64Array;
  /** N × k: Cov(P, θ). */
  readonly across: Float64Array;
  /** N × N. */
  readonly powerSpread: Float64Array;
}

export interface Marginal {
  readonly mean: Float64Array;
  readonly covariance: Float64Array;
  /** Cov(all θ, learned θ): size × k. */
  readonly columns: Float64Array;
  readonly precision: Float64Array;
}

/** Posterior of the learned modes' coefficients in the fit. */
export function marginalOf(fit: Fit, k: number): Marginal {
  const { size, sensitivity } = fit.layout;
  const columns = new Float64Array(size * k);
  for (let m = 0; m < k; m++) {
    const unit = new Float64Array(size);
    unit[sensitivity + m] = 1;
    choleskySolve(fit.hessian, size, unit);
    for (let i = 0; i < size; i++) columns[i * k + m] = unit[i];
  }
  const covariance = new Float64Array(k * k);
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++)
      covariance[i * k + j] = 0.5 * (columns[(sensitivity + i) * k + j] + columns[(sensitivity + j) * k + i]);
  return {
    mean: fit.theta.slice(sensitivity, sensitivity + k),
    covariance,
    columns,
    precision: inverseOf(covariance, k),
  };
}

export function inverseOf(a: Float64Array, n: number): Float64Array {
  const l = cholesky(a, n, 1e-9);
  const out = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    const unit = new Float64Array(n);
    unit[j] = 1;
    choleskySolve(l, n, unit);
    for (let i = 0; i < n; i++) out[i * n + j] = unit[i];
  }
  return out;
}

function logDeterminant(a: Float64Array, n: number): number {
  const l = cholesky(a, n, 1e-9);
  let s = 0;
  for (let i = 0; i < n; i++) s += 2 * Math.log(l[i * n + i]);
  return s;
}

export function times(a: Float64Array, n: number, v: ArrayLike<number>): Float64Array {
  const out = new Float64Array(n);
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) out[i] += a[i * n + j] * v[j];
  return out;
}

export const inner = (a: ArrayLike<number>, b: ArrayLike<number>): number => {
  let s = 0;
  for (let i = 0; i < a.length; i++) s += a[i] * b[i];
  return s;
};

/**
 * θ and P under one kind of light. The likelihood of θ is the fit's posterior over the fit's own prior, N(0, 1):
 * precision Λ, information h. All Gaussian, so that evidence and posterior are closed forms.
 */
export function underKind(kind: LightKindPrior, cameras: Float64Array, fit: Marginal, k: number): UnderKind {
  const { centre, follow, modes } = kind;
  const prior = cameras.slice();
  for (const f of follow)
    for (let i = 0; i < k; i++) for (let j = 0; j < k; j++) prior[i * k + j] += f[i] * f[j];
  const priorInverse = inverseOf(prior, k);
  const precision = fit.precision.slice();
  const information = times(fit.precision, k, fit.mean);
  // the fit's own prior taken out, this kind's put in
  for (let i = 0; i < k; i++) precision[i * k + i] -= 1;
  for (let i = 0; i < k * k; i++) precision[i] += priorInverse[i];
  const pulled = times(priorInverse, k, centre);
  for (let i = 0; i < k; i++) information[i] += pulled[i];
  const spread = inverseOf(precision, k);
  const theta = times(spread, k, information);
  const logEvidence =
    0.5 *
    (inner(information, theta) -
      inner(centre, pulled) -
      logDeterminant(prior, k) -
      logDeterminant(precision, k));
  // c | θ: gain K = Aᵀ S⁻¹, S the prior of θ; and what stays open of c, I − K A
  const r = modes.length;
  const gain = follow.map((f) => times(priorInverse, k, f));
  const open = new Float64Array(r * r);
  for (let a = 0; a < r; a++)
    for (let b = 0; b < r; b++) open[a * r + b] = (a === b ? 1 : 0) - inner(gain[a], follow[b]);
  const off = theta.map((t, i) => t - centre[i]);
  const power = kind.mean.slice();
  // P = mean + Σ mode·c; G = modesᵀ·gain, N × k
  const g = new Float64Array(N * k);
  for (let a = 0; a < r; a++) {
    const c = inner(gain[a], off);
    for (let i = 0; i < N; i++) {
      power[i] += modes[a][i] * c;
      for (let j = 0; j < k; j++) g[i * k + j] += modes[a][i] * gain[a][j];
    }
  }
  const across = new Float64Array(N * k);
  for (let i = 0; i < N; i++) across.set(times(spread, k, g.subarray(i * k, (i + 1) * k)), i * k);
  const powerSpread = new Float64Array(N * N);
  for (let i = 0; i < N; i++)
    for (let j = 0; j < N; j++) {
      let s = inner(across.subarray(i * k, (i + 1) * k), g.subarray(j * k, (j + 1) * k));
      for (let a = 0; a < r; a++)
        for (let b = 0; b < r; b++) s += modes[a][i] * open[a * r + b] * modes[b][j];
      powerSpread[i * N + j] = s;
    }
  return { name: kind.name, logEvidence, theta, spread, power, across, powerSpread };
}
