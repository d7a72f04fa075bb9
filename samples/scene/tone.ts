/** Tone curves of made-up camera makers: linear scene light to displayed linear light, with toe and shoulder. */
import type { Family } from './lights.ts';
import type { SceneRandom } from './random.ts';

/** Rising curve; 0 → 0, and never above 1. */
export type ToneCurve = (linear: number) => number;

/** A random maker's curve of the family's kinds. */
export function makeToneCurve(family: Family, random: SceneRandom): ToneCurve {
  return random.pick(
    family === 'tune' ? [filmic, encodedBlend] : [logLogistic, splineInStops, shoulderOverGamma],
  )(random);
}

function clamp01(x: number): number {
  return Math.min(1, Math.max(0, x));
}

/** Rational curve with toe and shoulder (x(ax+b))/(x(cx+d)+e), scaled to 1 at 1.15. */
function filmic(random: SceneRandom): ToneCurve {
  const contrast = random.between(1.15, 1.6);
  const toe = random.between(0.01, 0.06);
  const shoulder = random.between(0.25, 1.2);
  const raw = (x: number): number =>
    x ** contrast / (x ** contrast * shoulder + toe ** 0.3 * (x + 0.25) ** 0.4);
  const top = raw(1.15);
  return (x) => clamp01(raw(Math.max(0, x)) / top);
}

/** S-shape laid on the encoded value: mix of identity and smoothstep, with a lift or crush in the shadows. */
function encodedBlend(random: SceneRandom): ToneCurve {
  const s = random.between(0.15, 0.6);
  const power = Math.exp(random.normal(-0.05, 0.1));
  const crush = random.between(-0.15, 0.35);
  return (x) => {
    const v = clamp01(x / 1.1) ** (1 / 2.2);
    const p = v ** power;
    const curved = (1 - s) * p + s * p * p * (3 - 2 * p);
    return clamp01((curved - crush * 0.2 * curved * (1 - curved) ** 4) ** 2.2);
  };
}

/** Log-logistic (Naka–Rushton) response, scaled to 1 at a white above paper. */
function logLogistic(random: SceneRandom): ToneCurve {
  const n = random.between(1.05, 1.55);
  const half = random.between(0.28, 0.6);
  const white = random.between(1.05, 1.6);
  const raw = (x: number): number => x ** n / (x ** n + half ** n);
  const top = raw(white);
  return (x) => clamp01(raw(Math.max(0, x)) / top);
}

/** Gains in stops at five exposures, joined by a monotone cubic (Fritsch and Carlson 1980). */
function splineInStops(random: SceneRandom): ToneCurve {
  const stops = [-8, -5.5, -3.2, -1.4, 0.25];
  const contrast = random.between(0.5, 1.15);
  const gain = [-1.1, -0.55, 0.05, 0.55, 0].map((g) => contrast * (g + random.normal(0, 0.1)));
  const y = stops.map((s, i) => (i === 4 ? 0 : s + gain[i]));
  for (let i = 3; i >= 0; i--) y[i] = Math.min(y[i], y[i + 1] - 0.5);
  const slopes = monotoneSlopes(stops, y);
  return (x) => {
    if (x <= 0) return 0;
    const e = Math.log2(x);
    if (e >= stops[4]) return 1;
    if (e <= stops[0]) return 2 ** (y[0] + slopes[0] * (e - stops[0]));
    let i = 0;
    while (e > stops[i + 1]) i++;
    const h = stops[i + 1] - stops[i];
    const t = (e - stops[i]) / h;
    const a = (1 + 2 * t) * (1 - t) ** 2 * y[i] + t * (1 - t) ** 2 * h * slopes[i];
    const b = t * t * (3 - 2 * t) * y[i + 1] + t * t * (t - 1) * h * slopes[i + 1];
    return clamp01(2 ** (a + b));
  };
}

function monotoneSlopes(x: readonly number[], y: readonly number[]): number[] {
  const d = x.slice(1).map((v, i) => (y[i + 1] - y[i]) / (v - x[i]));
  const inner = d.slice(1).map((v, i) => (v * d[i] <= 0 ? 0 : (2 * v * d[i]) / (v + d[i])));
  return [d[0], ...inner, Math.min(d[d.length - 1], 0.5)];
}

/** Power-law contrast about mid-grey, then a smooth roll-off from a knee to white. */
function shoulderOverGamma(random: SceneRandom): ToneCurve {
  const contrast = random.between(1.05, 1.4);
  const pivot = random.between(0.14, 0.22);
  const knee = random.between(0.45, 0.75);
  const toe = random.between(0, 0.006);
  return (x) => {
    const lifted = pivot * (Math.max(0, x) / pivot) ** contrast;
    const low = (lifted * lifted) / (lifted + toe);
    if (!(low > knee)) return low || 0;
    return clamp01(knee + (1 - knee) * (1 - Math.exp(-(low - knee) / (1 - knee))));
  };
}
