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

/** Values of the response modes (and the mean, last) at an encoded value. */
export function modesAt(prior: CurvePrior, encoded: number): Float64Array {
  const last = prior.mean.length - 1;
  const x = Math.max(0, Math.min(last, encoded * last));
  const i = Math.min(Math.floor(x), last - 1);
  const t = x - i;
  const out = new Float64Array(prior.modes.length + 1);
  prior.modes.forEach((m, k) => {
    out[k] = m[i] + t * (m[i + 1] - m[i]);
  });
  out[prior.modes.length] = prior.mean[i] + t * (prior.mean[i + 1] - prior.mean[i]);
  return out;
}

/** ln(light) − ln(decoded value) at an encoded value, for mode coefficients `theta` from `offset` on. */
export function responseAt(atValue: Float64Array, theta: Float64Array, offset: number): number {
  const k = atValue.length - 1;
  let h = atValue[k];
  for (let i = 0; i < k; i++) h += atValue[i] * theta[offset + i];
  return h;
}

/** True where a channel can be believed: encoded value between .03 and .99 and hardly a clipped pixel. */
export function usableChannels(encoded: Vec3, clippedHigh: Vec3, clippedLow: Vec3): boolean[] {
  return [0, 1, 2].map(
    (c) => encoded[c] >= 0.03 && encoded[c] <= 0.99 && clippedHigh[c] < 0.02 && clippedLow[c] < 0.02,
  );
}
