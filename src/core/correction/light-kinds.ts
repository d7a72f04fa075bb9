/** Kinds of light weighed by how well a fit's sensitivities agree with each: evidence and posterior in closed form. */
import { cholesky, choleskySolve, innerProduct } from '../math/linear.ts';
import type { Fit } from './fit-model.ts';
import { type LightKindPrior, type LightLabel, type LightPrior, SHARES } from './light-prior.ts';

/** Posterior of the learned modes' coefficients in a fit to the card alone. */
export interface Marginal {
  readonly mean: Float64Array;
  readonly precision: Float64Array;
}

/** A kind that the fit leaves possible, and the learned modes' coefficients θ under it. */
export interface WeighedKind {
  readonly kind: LightKindPrior;
  /** Share of the whole. */
  readonly weight: number;
  readonly theta: Float64Array;
  /** k × k covariance of θ. */
  readonly spread: Float64Array;
  /** k × k inverse covariance of θ under this kind before a photo is seen. */
  readonly priorInverse: Float64Array;
}

export interface WeighedKinds {
  readonly marginal: Marginal;
  readonly kinds: readonly WeighedKind[];
}

/** The modes' coefficients c of a kind's power P = mean + Σ mode·c, given what a fit tells of θ = centre + follow·c + the camera's part. */
export interface LightCoefficients {
  /** Most likely c for the likeliest θ. */
  readonly likeliest: Float64Array;
  /** K = Aᵀ S⁻¹, S the prior of θ: what a change of θ changes in each c. */
  readonly gain: readonly Float64Array[];
  /** r × r covariance of what stays open of c when θ is known, I − K A. */
  readonly open: Float64Array;
}

export function coefficientsOf({ kind, theta, priorInverse }: WeighedKind): LightCoefficients {
  const { centre, follow } = kind;
  const gain = follow.map((f) => times(priorInverse, centre.length, f));
  const r = follow.length;
  const open = new Float64Array(r * r);
  for (let a = 0; a < r; a++)
    for (let b = 0; b < r; b++) open[a * r + b] = (a === b ? 1 : 0) - inner(gain[a], follow[b]);
  const off = theta.map((t, i) => t - centre[i]);
  return { likeliest: Float64Array.from(gain, (g) => inner(g, off)), gain, open };
}

/** Kinds less likely than this, beside the likeliest, are not followed. */
const NEGLIGIBLE = 0.01;

/** Weighs the kinds of light for a fit to the card alone. */
export function weighKinds(fit: Fit, prior: LightPrior, label: LightLabel = 'other'): WeighedKinds {
  const k = prior.kinds[0].centre.length;
  const marginal = marginalOf(fit, k);
  const likelihood = likelihoodOf(marginal, k);
  const under = expectedUnder(prior).map((expected) => underKind(expected, likelihood, k));
  const scores = under.map((u) => u.logEvidence + Math.log(SHARES[label][u.expected.kind.name]));
  const best = Math.max(...scores);
  const likely = under.flatMap((u, i) => {
    const weight = Math.exp(scores[i] - best);
    return weight > NEGLIGIBLE ? [{ ...u, weight }] : [];
  });
  const total = likely.reduce((s, u) => s + u.weight, 0);
  const kinds = likely.map(({ expected, weight, theta, precision }) => ({
    kind: expected.kind,
    weight: weight / total,
    theta,
    spread: inverseFrom(precision, k),
    priorInverse: expected.inverse,
  }));
  return { marginal, kinds };
}

/** A kind's Gaussian of θ before a photo is seen. */
interface Expected {
  readonly kind: LightKindPrior;
  readonly inverse: Float64Array;
  /** Inverse covariance times the mean. */
  readonly pulled: Float64Array;
  /** The mean's own squared Mahalanobis length, and ln of the covariance's determinant. */
  readonly constant: number;
}

const expectedCache = new WeakMap<LightPrior, readonly Expected[]>();

/** What each kind expects of θ; computed once per prior, and may be ahead of a photo. */
export function expectedUnder(prior: LightPrior): readonly Expected[] {
  let expected = expectedCache.get(prior);
  if (!expected) {
    expected = prior.kinds.map((kind) => expectedOf(kind, prior.cameras));
    expectedCache.set(prior, expected);
  }
  return expected;
}

function expectedOf(kind: LightKindPrior, cameras: Float64Array): Expected {
  const { centre, follow } = kind;
  const k = centre.length;
  const covariance = cameras.slice();
  for (const f of follow)
    for (let i = 0; i < k; i++) for (let j = 0; j < k; j++) covariance[i * k + j] += f[i] * f[j];
  const l = cholesky(covariance, k, 1e-9);
  const inverse = inverseFrom(l, k);
  const pulled = times(inverse, k, centre);
  return { kind, inverse, pulled, constant: inner(centre, pulled) + logDeterminant(l, k) };
}

/** Likelihood of θ: precision, and precision times mean. */
interface Likelihood {
  readonly precision: Float64Array;
  readonly information: Float64Array;
}

/** The fit's posterior over the fit's own prior, N(0, 1). */
function likelihoodOf(marginal: Marginal, k: number): Likelihood {
  const precision = marginal.precision.slice();
  for (let i = 0; i < k; i++) precision[i * k + i] -= 1;
  return { precision, information: times(marginal.precision, k, marginal.mean) };
}

interface UnderKind {
  readonly expected: Expected;
  readonly logEvidence: number;
  readonly theta: Float64Array;
  /** Lower Cholesky factor of θ's posterior precision. */
  readonly precision: Float64Array;
}

function underKind(expected: Expected, likelihood: Likelihood, k: number): UnderKind {
  const precision = cholesky(
    likelihood.precision.map((v, i) => v + expected.inverse[i]),
    k,
    1e-9,
  );
  const information = likelihood.information.map((v, i) => v + expected.pulled[i]);
  const theta = choleskySolve(precision, k, information.slice());
  const logEvidence = 0.5 * (inner(information, theta) - expected.constant - logDeterminant(precision, k));
  return { expected, logEvidence, theta, precision };
}

function marginalOf(fit: Fit, k: number): Marginal {
  const { size, sensitivity } = fit.layout;
  const x = inverseColumns(fit.hessian, size, sensitivity, k);
  const covariance = gramOf(x, size - sensitivity);
  return {
    mean: fit.theta.slice(sensitivity, sensitivity + k),
    precision: inverseOf(covariance, k),
  };
}

export function inverseOf(a: Float64Array, n: number): Float64Array {
  return inverseFrom(cholesky(a, n, 1e-9), n);
}

/** Inverse of a matrix from its lower Cholesky factor. */
function inverseFrom(l: Float64Array, n: number): Float64Array {
  return gramOf(inverseColumns(l, n, 0, n), n);
}

/**
 * Columns `first` to `first + count` of L⁻¹, each from row `first` on, above which they are empty; and above its own
 * place, where nothing is either.
 */
function inverseColumns(l: Float64Array, n: number, first: number, count: number): readonly Float64Array[] {
  return Array.from({ length: count }, (_, m) => {
    const x = new Float64Array(n - first);
    for (let i = m; i < x.length; i++) {
      const row = (i + first) * n + first;
      let s = i === m ? 1 : 0;
      for (let j = m; j < i; j++) s -= l[row + j] * x[j];
      x[i] = s / l[row + i];
    }
    return x;
  });
}

/** Inner products of columns of which the one at i begins at place i. */
function gramOf(columns: readonly Float64Array[], length: number): Float64Array {
  const n = columns.length;
  const out = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      const s = innerProduct(columns[i], i, columns[j], i, length - i);
      out[i * n + j] = s;
      out[j * n + i] = s;
    }
  return out;
}

/** ln |A| from A's lower Cholesky factor. */
function logDeterminant(l: Float64Array, n: number): number {
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
