/**
 * The light of a photo out of its fit. The fit knows no kinds of light; here each kind is weighed by how well the fitted
 * sensitivities agree with it, and the kinds that remain are one Gaussian of the light's power and the sensitivities
 * together. The fit itself gains by it: daylight is a narrow kind.
 */
import { GRID } from '../color/index.ts';
import { cholesky, symmetricEigen } from '../math/linear.ts';
import type { Fit } from './fit-model.ts';
import {
  inner,
  inverseOf,
  type Marginal,
  marginalOf,
  times,
  type UnderKind,
  underKind,
} from './light-kinds.ts';
import { type LightKindName, type LightLabel, type LightPrior, SHARES } from './light-prior.ts';

const N = GRID.count;

export interface PhotoLight {
  /** The fit with what the kinds of light add to it. */
  readonly fit: Fit;
  /** Most likely power on the core's nodes, to any scale. */
  readonly power: Float64Array;
  /** Change of the power with each learned mode's θ, and the modes of what they leave open. */
  readonly slopes: readonly Float64Array[];
  readonly open: readonly Float64Array[];
  readonly kinds: readonly { readonly name: LightKindName; readonly weight: number }[];
}

/** Kinds less likely than this are not followed. */
const NEGLIGIBLE = 0.01;
const OPEN_MODES = 14;

export function photoLight(fit: Fit, prior: LightPrior, label: LightLabel = 'other'): PhotoLight {
  const k = prior.kinds[0].centre.length;
  const marginal = marginalOf(fit, k);
  const under = prior.kinds.map((kind) => underKind(kind, prior.cameras, marginal, k));
  const scores = under.map((u) => u.logEvidence + Math.log(SHARES[label][u.name]));
  const best = Math.max(...scores);
  const likely = under
    .map((u, i) => ({ ...u, weight: Math.exp(scores[i] - best) }))
    .filter((u) => u.weight > NEGLIGIBLE);
  const total = likely.reduce((s, u) => s + u.weight, 0);
  const kinds = likely.map((u) => ({ ...u, weight: u.weight / total }));
  const mixed = mixture(kinds, k);
  const inverse = inverseOf(mixed.spread, k);
  const slopes = Array.from({ length: k }, (_, m) =>
    Float64Array.from({ length: N }, (_, i) => {
      let s = 0;
      for (let j = 0; j < k; j++) s += mixed.across[i * k + j] * inverse[j * k + m];
      return s;
    }),
  );
  return {
    fit: updated(fit, marginal, mixed, inverse, k),
    power: mixed.power,
    slopes,
    open: openModes(mixed, slopes, k),
    kinds: kinds.map(({ name, weight }) => ({ name, weight })).sort((a, b) => b.weight - a.weight),
  };
}

type Mixed = Pick<UnderKind, 'theta' | 'spread' | 'power' | 'across' | 'powerSpread'>;

/** Kinds by their weights as one Gaussian with the mixture's mean and covariance. */
function mixture(kinds: readonly (UnderKind & { readonly weight: number })[], k: number): Mixed {
  const theta = new Float64Array(k);
  const power = new Float64Array(N);
  for (const u of kinds) {
    for (let i = 0; i < k; i++) theta[i] += u.weight * u.theta[i];
    for (let i = 0; i < N; i++) power[i] += u.weight * u.power[i];
  }
  const spread = new Float64Array(k * k);
  const across = new Float64Array(N * k);
  const powerSpread = new Float64Array(N * N);
  for (const u of kinds) {
    const dt = u.theta.map((v, i) => v - theta[i]);
    const dp = u.power.map((v, i) => v - power[i]);
    for (let i = 0; i < k; i++)
      for (let j = 0; j < k; j++) spread[i * k + j] += u.weight * (u.spread[i * k + j] + dt[i] * dt[j]);
    for (let i = 0; i < N; i++) {
      for (let j = 0; j < k; j++) across[i * k + j] += u.weight * (u.across[i * k + j] + dp[i] * dt[j]);
      for (let j = 0; j < N; j++)
        powerSpread[i * N + j] += u.weight * (u.powerSpread[i * N + j] + dp[i] * dp[j]);
    }
  }
  return { theta, spread, power, across, powerSpread };
}

/** The fit with a new marginal of the learned modes; all else follows as it did. */
function updated(fit: Fit, marginal: Marginal, mixed: Mixed, inverse: Float64Array, k: number): Fit {
  const { size, sensitivity } = fit.layout;
  const move = times(
    marginal.precision,
    k,
    mixed.theta.map((v, i) => v - marginal.mean[i]),
  );
  const theta = fit.theta.map((v, i) => v + inner(marginal.columns.subarray(i * k, (i + 1) * k), move));
  const hessian = new Float64Array(size * size);
  for (let i = 0; i < size; i++)
    for (let j = 0; j <= i; j++) {
      let s = 0;
      for (let m = 0; m <= j; m++) s += fit.hessian[i * size + m] * fit.hessian[j * size + m];
      hessian[i * size + j] = s;
      hessian[j * size + i] = s;
    }
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++)
      hessian[(sensitivity + i) * size + sensitivity + j] +=
        inverse[i * k + j] - marginal.precision[i * k + j];
  return { ...fit, theta, hessian: cholesky(hessian, size, 1e-9) };
}

/** What the sensitivities leave open of the power. */
function openModes(mixed: Mixed, slopes: readonly Float64Array[], k: number): Float64Array[] {
  const left = mixed.powerSpread.slice();
  for (let i = 0; i < N; i++)
    for (let j = 0; j < N; j++) {
      let s = 0;
      for (let m = 0; m < k; m++) s += slopes[m][i] * mixed.across[j * k + m];
      left[i * N + j] -= s;
    }
  const { values, vectors } = symmetricEigen(left, N);
  return Array.from({ length: OPEN_MODES }, (_, m) =>
    Float64Array.from({ length: N }, (_, i) => vectors[i * N + m] * Math.sqrt(Math.max(0, values[m]))),
  );
}
