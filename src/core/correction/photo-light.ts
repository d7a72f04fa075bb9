/**
 * The light of a photo out of its fit: each kind of light is weighed by how well the fitted sensitivities agree with it,
 * and the kinds that remain are one Gaussian of the light's power and the sensitivities together.
 */
import { GRID } from '../color/index.ts';
import { symmetricEigen } from '../math/linear.ts';
import type { Fit } from './fit-model.ts';
import { fitUnderKinds, mixtureOf } from './fit-under-kinds.ts';
import { coefficientsOf, inner, inverseOf, times, type WeighedKind, weighKinds } from './light-kinds.ts';
import type { LightLabel, LightPrior } from './light-prior.ts';
import { type LikelyLight, likelyLight } from './likely-light.ts';

const N = GRID.count;

export interface PhotoLight {
  /** The fit with what the kinds of light add to it. */
  readonly fit: Fit;
  /** Most likely power on the core's nodes, to any scale. */
  readonly power: Float64Array;
  /** Change of the power with each learned mode's θ, and the modes of what they leave open. */
  readonly slopes: readonly Float64Array[];
  readonly open: readonly Float64Array[];
  /** Its colour. */
  readonly light: LikelyLight;
}

const OPEN_MODES = 14;

/** The light of a photo, from its fit to the card alone. */
export function photoLight(cardFit: Fit, prior: LightPrior, label?: LightLabel): PhotoLight {
  const weighed = weighKinds(cardFit, prior, label);
  const { theta, spread } = mixtureOf(weighed.kinds);
  const k = theta.length;
  const mixed = mixedPower(weighed.kinds, theta);
  const inverse = inverseOf(spread, k);
  const slopes = Array.from({ length: k }, (_, m) =>
    Float64Array.from({ length: N }, (_, i) => {
      let s = 0;
      for (let j = 0; j < k; j++) s += mixed.across[i * k + j] * inverse[j * k + m];
      return s;
    }),
  );
  return {
    fit: fitUnderKinds(cardFit, weighed),
    power: mixed.power,
    slopes,
    open: openModes(mixed, slopes, k),
    light: likelyLight(weighed.kinds),
  };
}

/** A light's power and what it has in common with θ. */
interface Power {
  readonly power: Float64Array;
  /** N × k: Cov(P, θ). */
  readonly across: Float64Array;
  /** N × N. */
  readonly powerSpread: Float64Array;
}

/** Power of the kinds by their weights, with the mixture's mean and covariance. */
function mixedPower(kinds: readonly WeighedKind[], theta: Float64Array): Power {
  const k = theta.length;
  const powers = kinds.map((u) => ({ ...u, ...powerUnder(u) }));
  const power = new Float64Array(N);
  for (const u of powers) for (let i = 0; i < N; i++) power[i] += u.weight * u.power[i];
  const across = new Float64Array(N * k);
  const powerSpread = new Float64Array(N * N);
  for (const u of powers) {
    const dt = u.theta.map((v, i) => v - theta[i]);
    const dp = u.power.map((v, i) => v - power[i]);
    for (let i = 0; i < N; i++) {
      for (let j = 0; j < k; j++) across[i * k + j] += u.weight * (u.across[i * k + j] + dp[i] * dt[j]);
      for (let j = 0; j < N; j++)
        powerSpread[i * N + j] += u.weight * (u.powerSpread[i * N + j] + dp[i] * dp[j]);
    }
  }
  return { power, across, powerSpread };
}

/** Power under one kind. */
function powerUnder(weighed: WeighedKind): Power {
  const { kind, spread } = weighed;
  const { likeliest, gain, open } = coefficientsOf(weighed);
  const { modes } = kind;
  const k = kind.centre.length;
  const r = modes.length;
  const power = kind.mean.slice();
  // G = modesᵀ·gain, N × k
  const g = new Float64Array(N * k);
  for (let a = 0; a < r; a++) {
    for (let i = 0; i < N; i++) {
      power[i] += modes[a][i] * likeliest[a];
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
  return { power, across, powerSpread };
}

/** What the sensitivities leave open of the power. */
function openModes(mixed: Power, slopes: readonly Float64Array[], k: number): Float64Array[] {
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
