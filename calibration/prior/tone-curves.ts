/**
 * A family of camera tone curves, for learning the response modes: h(v) = ln(light) − ln(sRGB decoded value)
 * as a function of the encoded value v. Curves are made up: gamma, sigmoid contrast in log light, highlight
 * shoulder, lifted or crushed blacks, exposure.
 */
import { type Random, seededRandom } from '../../src/core/math/random.ts';

/** Nodes of v at which a curve's deviation is tabulated: 0, 1/64, … 1. */
export const CURVE_NODES = 65;

const srgbEncode = (l: number): number => (l <= 0.0031308 ? 12.92 * l : 1.055 * l ** (1 / 2.4) - 0.055);
const srgbDecode = (v: number): number => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);

function drawCurve(random: Random): (light: number) => number {
  const gamma = Math.exp(0.12 * random.normal());
  const contrast = Math.max(0, 0.35 + 0.3 * random.normal());
  const pivot = 0.18 * Math.exp(0.35 * random.normal());
  const exposure = Math.exp(0.25 * random.normal());
  const shoulder = Math.max(0, 0.5 + 0.5 * random.normal());
  const toe = 0.004 * Math.max(-0.5, random.normal());
  const white = shoulderOf(1.05, shoulder);
  return (light) => {
    let x = exposure * light ** gamma;
    // sigmoid contrast about the pivot in log light, which fades far from it
    const z = Math.log((x + 1e-5) / pivot);
    x *= Math.exp(contrast * z * Math.exp(-0.5 * (z / 2) ** 2));
    x = shoulderOf(x, shoulder) / white;
    return Math.max(0, x + toe * (1 - x));
  };
}

function shoulderOf(x: number, s: number): number {
  return s < 1e-3 ? x : (1 - Math.exp(-s * x)) / s;
}

/** Samples of h on the nodes; the part outside a curve's range is continued flat. Centred on v = .5 to .9. */
export function drawCurveDeviations(count: number, seed: number): Float64Array[] {
  const random = seededRandom(seed);
  return Array.from({ length: count }, () => deviationOf(drawCurve(random)));
}

function deviationOf(curve: (light: number) => number): Float64Array {
  const steps = 4000;
  const h = new Float64Array(CURVE_NODES).fill(Number.NaN);
  let at = 0;
  for (let i = 1; i <= steps; i++) {
    const light = 1.6 * (i / steps) ** 2.2;
    const v = srgbEncode(Math.min(1, curve(light)));
    while (at < CURVE_NODES && at / (CURVE_NODES - 1) <= v) {
      // a lifted black sends the logarithm to minus infinity: nothing can be read there, so it is held
      if (at > 0) h[at] = Math.max(-1.2, Math.min(1.2, Math.log(light / srgbDecode(at / (CURVE_NODES - 1)))));
      at++;
    }
  }
  // values under v = .047 carry no weight in the fit; the curve is held flat there
  const first = Math.max(
    h.findIndex((x) => Number.isFinite(x)),
    3,
  );
  for (let i = 0; i < first; i++) h[i] = h[first];
  for (let i = first + 1; i < CURVE_NODES; i++) if (!Number.isFinite(h[i])) h[i] = h[i - 1];
  let centre = 0;
  for (let i = 32; i <= 58; i++) centre += h[i] / 27;
  return h.map((x) => x - centre);
}
