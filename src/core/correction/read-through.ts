/** One reading through a fit: from the file's linear values to readings relative to paper, and on to Lab. */
import { type Lab, labFromXyz, type Viewing } from '../color/index.ts';
import type { Vec3 } from '../math/linear.ts';
import { type Fit, gainAndFlare, gainSlope } from './fit-model.ts';
import { FIELD_TERMS, type FieldPoint, fieldTerms, logField } from './light-field.ts';
import { encodeSrgb, modesAt, responseAt } from './response.ts';
import { mappedXyz, READING_FLOOR } from './seen-panels.ts';

/** A thing read in the photo: linear values in the file's primaries, their standard error, and the place. */
export interface ThingRead {
  readonly linear: Vec3;
  readonly noise: Vec3;
  readonly usable: readonly boolean[];
  readonly at: FieldPoint;
  /** It may be of any paint: nothing is taken for granted of how it was made. */
  readonly isAnyPaint?: boolean;
}

/** Readings relative to a perfect white under no field, and their derivatives by θ (3 × size) on request. */
export function relativeReading(
  fit: Fit,
  theta: Float64Array,
  thing: ThingRead,
  jacobian?: Float64Array,
): [number, number, number] {
  const { layout, model, scale } = fit;
  const curve = model.hasCurve ? thing.linear.map((l) => modesAt(fit.prior.curve, encodeSrgb(l))) : [];
  const lit = thing.linear.map((l, c) => (model.hasCurve ? l * Math.exp(responseAt(curve[c], theta, 0)) : l));
  const slope = gainSlope(fit);
  const out: [number, number, number] = [0, 0, 0];
  for (let c = 0; c < 3; c++) {
    const [gain, flare] = gainAndFlare(fit, theta, c);
    const m = model.toLinearSrgb;
    const y = (m[3 * c] * lit[0] + m[3 * c + 1] * lit[1] + m[3 * c + 2] * lit[2]) / scale[c];
    const terms = fieldTerms(thing.at, c);
    const factor = 1 / (gain * Math.exp(logField(terms, theta, layout.field)));
    const q = (y - flare) * factor;
    out[c] = Math.max(q, READING_FLOOR);
    if (!jacobian || q <= READING_FLOOR) continue;
    const row = c * layout.size;
    for (let k = 0; k < layout.sensitivity; k++) {
      let d = 0;
      for (let s = 0; s < 3; s++) d += m[3 * c + s] * lit[s] * curve[s][k];
      jacobian[row + k] = (d / scale[c]) * factor;
    }
    jacobian[row + layout.gain + c] = -slope.gain * q;
    jacobian[row + layout.flare + c] = -slope.flare * factor;
    for (let k = 0; k < FIELD_TERMS; k++) jacobian[row + layout.field + k] = -terms[k] * q;
  }
  return out;
}

/** What each reading has of its own besides its pixels' scatter: a share of its value, and unseen glare and haze. */
const OWN_RELATIVE = 0.002;
const OWN_GLARE = 0.0006;

/** Standard error of the relative readings that no other reading shares. */
export function readingNoise(fit: Fit, theta: Float64Array, thing: ThingRead): Vec3 {
  const q = relativeReading(fit, theta, thing);
  return q.map((v, c) => {
    const relative = thing.noise[c] / Math.max(thing.linear[c], 1e-4);
    // an empty or full channel only bounds the colour
    const unknown = thing.usable[c] ? 0 : 0.12;
    return Math.hypot(v * Math.hypot(relative, unknown, OWN_RELATIVE), OWN_GLARE);
  }) as unknown as Vec3;
}

/** Lab of a reading through a polynomial. */
export function labThrough(polynomial: Float64Array, reading: ArrayLike<number>, under: Viewing): Lab {
  return labFromXyz(mappedXyz(polynomial, reading), under.white);
}
