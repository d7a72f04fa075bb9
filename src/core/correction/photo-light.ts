/**
 * The light of a photo out of its fit. The fit knows no kinds of light; here each kind is weighed by how well the fitted
 * sensitivities agree with it, and the kinds that remain are one Gaussian of the light's power and the sensitivities
 * together. The fit itself gains by it: daylight is a narrow kind.
 */
import { GRID, type LightColour, lightColour } from '../color/index.ts';
import { cholesky, choleskySolve, solveLower, symmetricEigen } from '../math/linear.ts';
import type { Fit } from './fit-model.ts';
import {
  BARS,
  type LightKindName,
  type LightKindPrior,
  type LightLabel,
  type LightPrior,
  SHARES,
} from './light-prior.ts';

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

/** A Gaussian of θ and P under one kind of light. */
interface UnderKind {
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

interface Marginal {
  readonly mean: Float64Array;
  readonly covariance: Float64Array;
  /** Cov(all θ, learned θ): size × k. */
  readonly columns: Float64Array;
  readonly precision: Float64Array;
}

/** Posterior of the learned modes' coefficients in the fit. */
function marginalOf(fit: Fit, k: number): Marginal {
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

function inverseOf(a: Float64Array, n: number): Float64Array {
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

function times(a: Float64Array, n: number, v: ArrayLike<number>): Float64Array {
  const out = new Float64Array(n);
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) out[i] += a[i * n + j] * v[j];
  return out;
}

const inner = (a: ArrayLike<number>, b: ArrayLike<number>): number => {
  let s = 0;
  for (let i = 0; i < a.length; i++) s += a[i] * b[i];
  return s;
};

/**
 * θ and P under one kind of light. The likelihood of θ is the fit's posterior over the fit's own prior, N(0, 1):
 * precision Λ, information h. All Gaussian, so that evidence and posterior are closed forms.
 */
function underKind(kind: LightKindPrior, cameras: Float64Array, fit: Marginal, k: number): UnderKind {
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

/** Colour of a power on the nodes. */
export function colourOfPower(power: ArrayLike<number>): LightColour {
  const [x, y, z] = BARS.map((bar) => inner(bar, power));
  return lightColour({ x: x / (x + y + z), y: y / (x + y + z) });
}

/** Colour of a photo's light with the half-widths of its 95 % intervals, from what is left open of its power. */
export function colourSpread({ fit, power, slopes, open }: PhotoLight): LightColour & {
  readonly cct_k_u95: number;
  readonly duv_u95: number;
} {
  const centre = colourOfPower(power);
  const { size, sensitivity } = fit.layout;
  // columns of a square root of the learned modes' covariance, through the slopes, then the open modes
  const ways: Float64Array[] = [...open];
  const k = slopes.length;
  const rows = Array.from({ length: k }, (_, m) => {
    const unit = new Float64Array(size);
    unit[sensitivity + m] = 1;
    return solveLower(fit.hessian, size, unit);
  });
  for (let c = 0; c < size; c++) {
    const way = new Float64Array(N);
    for (let m = 0; m < k; m++) {
      const r = rows[m][c];
      if (r !== 0) for (let i = 0; i < N; i++) way[i] += r * slopes[m][i];
    }
    ways.push(way);
  }
  const step = 0.5;
  let mired2 = 0;
  let duv2 = 0;
  for (const way of ways) {
    if (inner(way, way) < 1e-8) continue;
    const moved = colourOfPower(power.map((v, i) => v + step * way[i]));
    mired2 += ((1e6 / moved.cct_k - 1e6 / centre.cct_k) / step) ** 2;
    duv2 += ((moved.duv - centre.duv) / step) ** 2;
  }
  const halfMired = 1.96 * Math.sqrt(mired2);
  return {
    ...centre,
    cct_k_u95: (halfMired * centre.cct_k ** 2) / 1e6,
    duv_u95: 1.96 * Math.sqrt(duv2),
  };
}
