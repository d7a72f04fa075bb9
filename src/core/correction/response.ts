/** The response of a camera: from encoded values to light, as modes about the sRGB decoding. */
import type { Vec3 } from '../math/linear.ts';
import type { CurvePrior } from './prior.ts';

/** sRGB encoding of a linear value (IEC 61966-2-1), 0–1; the axis on which response modes are tabulated. */
export function encodeSrgb(linear: number): number {
  return linear <= 0.0031308 ? 12.92 * Math.max(0, linear) : 1.055 * linear ** (1 / 2.4) - 0.055;
}

/** Change of ln(linear) with its sRGB encoding, from the end of the straight part up. */
export function srgbSlope(linear: number): number {
  return 2.4 / (Math.max(encodeSrgb(linear), 0.04045) + 0.055);
}

/** Where an encoded value lies on the nodes of the response's modes, counted from the first. */
export function nodePlace(row: Float64Array, encoded: number): number {
  const last = row.length - 1;
  return Math.max(0, Math.min(last, encoded * last));
}

/** Value between two nodes. */
export function valueAtPlace(row: Float64Array, place: number): number {
  const i = Math.min(Math.floor(place), row.length - 2);
  return row[i] + (place - i) * (row[i + 1] - row[i]);
}

/** Values of the response modes (and the mean, last) at an encoded value. */
export function modesAt(prior: CurvePrior, encoded: number): Float64Array {
  const place = nodePlace(prior.mean, encoded);
  const out = new Float64Array(prior.modes.length + 1);
  prior.modes.forEach((m, k) => {
    out[k] = valueAtPlace(m, place);
  });
  out[prior.modes.length] = valueAtPlace(prior.mean, place);
  return out;
}

/** ln(light) − ln(decoded value) at an encoded value, for mode coefficients `theta` from `offset` on. */
export function responseAt(atValue: Float64Array, theta: Float64Array, offset: number): number {
  const k = atValue.length - 1;
  let h = atValue[k];
  for (let i = 0; i < k; i++) h += atValue[i] * theta[offset + i];
  return h;
}

const SLOPE_STEP = 0.01;
const LEAST_SLOPE = 0.01;

/** ln(light) − ln(decoded value) on the nodes, for mode coefficients that `theta` begins with. */
export function bentResponse({ mean, modes }: CurvePrior, theta: Float64Array): Float64Array {
  return mean.map((v, i) => modes.reduce((sum, mode, k) => sum + theta[k] * mode[i], v));
}

/** Change of the light with the decoded value under a bent response. */
export function responseSlope(bent: Float64Array, linear: number): number {
  const encoded = encodeSrgb(linear);
  const at = (v: number): number => valueAtPlace(bent, nodePlace(bent, v));
  const rise = (at(encoded + SLOPE_STEP) - at(encoded - SLOPE_STEP)) / (2 * SLOPE_STEP);
  return Math.exp(at(encoded)) * Math.max(LEAST_SLOPE, 1 + rise / srgbSlope(linear));
}

/** True where a channel can be believed: encoded value between .03 and .99 and hardly a clipped pixel. */
export function usableChannels(encoded: Vec3, clippedHigh: Vec3, clippedLow: Vec3): boolean[] {
  return [0, 1, 2].map(
    (c) => encoded[c] >= 0.03 && encoded[c] <= 0.99 && clippedHigh[c] < 0.02 && clippedLow[c] < 0.02,
  );
}
