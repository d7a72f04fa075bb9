/** The colour of a photo's light, by the kinds of light that its fit leaves possible. */
import { type LightColour, lightColour } from '../color/index.ts';
import { coefficientsOf, inner, times, type WeighedKind } from './light-kinds.ts';
import { BARS, type LightKindName } from './light-prior.ts';

/** What a photo's light is likely to be: a camera balances most of a light's colour away, so the doubt is wide. */
export interface LikelyLight extends LightColour {
  /** 95 % intervals; the temperature's is even in mired, and so reaches farther up than down. */
  readonly cct_k_interval95: readonly [number, number];
  readonly duv_u95: number;
  /** The likeliest kind, and how likely it is. */
  readonly kind: { readonly name: LightKindName; readonly share: number };
}

/** A Gaussian of the light's XYZ, to any scale. */
interface XyzSpread {
  readonly mean: Float64Array;
  /** 3 × 3. */
  readonly covariance: Float64Array;
}

/** The light's colour under all kinds by their weights, as one Gaussian of their mean and covariance. */
export function likelyLight(weighed: readonly WeighedKind[]): LikelyLight {
  const each = weighed.map((u) => ({ weight: u.weight, ...xyzUnder(u) }));
  const mean = new Float64Array(3);
  for (const { weight, mean: m } of each) for (let a = 0; a < 3; a++) mean[a] += weight * m[a];
  const covariance = new Float64Array(9);
  for (const { weight, mean: m, covariance: c } of each)
    for (let a = 0; a < 3; a++)
      for (let b = 0; b < 3; b++)
        covariance[3 * a + b] += weight * (c[3 * a + b] + (m[a] - mean[a]) * (m[b] - mean[b]));
  const { kind, weight } = weighed.reduce((best, u) => (u.weight > best.weight ? u : best));
  return { ...colourWithDoubt({ mean, covariance }), kind: { name: kind.name, share: weight } };
}

/** XYZ under one kind. */
function xyzUnder(weighed: WeighedKind): XyzSpread {
  const { kind, spread } = weighed;
  const { likeliest, gain, open } = coefficientsOf(weighed);
  const k = kind.centre.length;
  const r = kind.modes.length;
  const spreadGain = gain.map((g) => times(spread, k, g));
  const modes = kind.modes.map((m) => BARS.map((bar) => inner(bar, m)));
  const mean = Float64Array.from(BARS, (bar) => inner(bar, kind.mean));
  const covariance = new Float64Array(9);
  for (let a = 0; a < r; a++) {
    for (let x = 0; x < 3; x++) mean[x] += modes[a][x] * likeliest[a];
    for (let b = 0; b < r; b++) {
      const both = open[a * r + b] + inner(gain[a], spreadGain[b]);
      for (let x = 0; x < 3; x++)
        for (let y = 0; y < 3; y++) covariance[3 * x + y] += modes[a][x] * both * modes[b][y];
    }
  }
  return { mean, covariance };
}

const STEP = 0.01;

/** Intervals to first order. */
function colourWithDoubt({ mean, covariance }: XyzSpread): Omit<LikelyLight, 'kind'> {
  const centre = colourOf(mean);
  const total = mean[0] + mean[1] + mean[2];
  const slopes = [0, 1, 2].map((axis) => {
    const step = STEP * total;
    const moved = colourOf(mean.map((v, a) => (a === axis ? v + step : v)));
    return {
      mired: (1e6 / moved.cct_k - 1e6 / centre.cct_k) / step,
      duv: (moved.duv - centre.duv) / step,
    };
  });
  const half = (of: 'mired' | 'duv'): number => {
    let square = 0;
    for (let a = 0; a < 3; a++)
      for (let b = 0; b < 3; b++) square += slopes[a][of] * covariance[3 * a + b] * slopes[b][of];
    return 1.96 * Math.sqrt(Math.max(0, square));
  };
  return { ...centre, cct_k_interval95: temperatures(centre, half('mired')), duv_u95: half('duv') };
}

/** The bluest sky has some 25 000 K. */
const LEAST_MIRED = 40;

/** From a half-width in mired. */
export function temperatures({ cct_k }: LightColour, half_mired: number): readonly [number, number] {
  const mired = 1e6 / cct_k;
  return [1e6 / (mired + half_mired), 1e6 / Math.max(LEAST_MIRED, mired - half_mired)];
}

function colourOf([x, y, z]: ArrayLike<number> & Iterable<number>): LightColour {
  return lightColour({ x: x / (x + y + z), y: y / (x + y + z) });
}
