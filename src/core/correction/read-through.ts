/** One reading through a fit: from the file's linear values to readings relative to paper, and on to Lab. */
import { type Lab, labFromXyz, type Viewing } from '../color/index.ts';
import type { Vec3 } from '../math/linear.ts';
import { type Fit, gainAndFlare, gainSlope } from './fit-model.ts';
import { expectedField, FIELD_TERMS, type FieldPoint, fieldTerms, logField } from './light-field.ts';
import type { Make } from './paint.ts';
import { encodeSrgb, modesAt, responseAt, srgbSlope } from './response.ts';
import { mappedXyz, READING_FLOOR } from './seen-panels.ts';

/** A thing read in the photo: linear values in the file's primaries, their standard error, and the place. */
export interface ThingRead {
  readonly linear: Vec3;
  readonly noise: Vec3;
  readonly usable: readonly boolean[];
  readonly at: FieldPoint;
  /** White light that may be mirrored all over it, as in `PanelReading`. */
  readonly veil?: number;
  /** How it was made: says which virtual things are its like. */
  readonly make?: Make;
}

/**
 * Share of a veil that is taken off, and the standard deviation of what ought to be: all of it and more if it is light, which
 * seldom leaves a part quite clear, none if paint runs thinner.
 */
const VEIL = { takenOff: 0.6, doubt: 0.6 } as const;

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
  const usual = expectedField(thing.at);
  const veil = VEIL.takenOff * (thing.veil ?? 0);
  const out: [number, number, number] = [0, 0, 0];
  for (let c = 0; c < 3; c++) {
    const [gain, flare] = gainAndFlare(fit, theta, c);
    const m = model.toLinearSrgb;
    const y = (m[3 * c] * lit[0] + m[3 * c + 1] * lit[1] + m[3 * c + 2] * lit[2]) / scale[c];
    const terms = fieldTerms(thing.at, c);
    const factor = 1 / (gain * Math.exp(usual + logField(terms, theta, layout.field)));
    const q = (y - flare) * factor;
    out[c] = Math.max(q - veil, READING_FLOOR);
    if (!jacobian || q - veil <= READING_FLOOR) continue;
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

/** Whether every channel tells something of a thing: none is full, empty, or as dark as the darkest told apart. */
export function isWhole(thing: ThingRead, reading: readonly number[]): boolean {
  return thing.usable.every(Boolean) && reading.every((q) => q > READING_FLOOR);
}

/**
 * What each reading has of its own besides its pixels' scatter. Light that falls unevenly and glare that nobody sees reach the
 * three channels alike, so that they hardly turn a colour; a little of both is each channel's own.
 */
const OWN = {
  relative: { shared: 0.0017, channel: 0.001 },
  glare: { shared: 0.0006, channel: 0.0002 },
} as const;
/** How far a rendered file may keep an even area's mean off, encoded: some eighth of an 8-bit code, channel by channel. */
const KEPT_OFF = 0.0005;
/** Ways a reading errs that no other reading shares: each channel's own, light all have in common, glare all have. */
export const NOISE_WAYS = 5;

/** What no other reading shares, as a factor of its covariance (3 × NOISE_WAYS), of the relative readings. */
export function readingNoise({ model }: Fit, thing: ThingRead, reading: readonly number[]): Float64Array {
  const out = new Float64Array(3 * NOISE_WAYS);
  const glare = Math.hypot(OWN.glare.shared, VEIL.doubt * (thing.veil ?? 0));
  reading.forEach((v, c) => {
    const row = c * NOISE_WAYS;
    const scatter = thing.noise[c] / Math.max(thing.linear[c], 1e-4);
    // an empty or full channel only bounds the colour
    const unknown = thing.usable[c] ? 0 : 0.12;
    const kept = model.hasCurve ? KEPT_OFF * srgbSlope(thing.linear[c]) : 0;
    out[row + c] = Math.hypot(
      v * Math.hypot(scatter, unknown, kept, OWN.relative.channel),
      OWN.glare.channel,
    );
    out[row + 3] = v * OWN.relative.shared;
    out[row + 4] = glare;
  });
  return out;
}

/** The same as it moves Lab (3 × NOISE_WAYS), by ∂Lab/∂reading (3 × 3). */
export function noiseInLab(byReading: Float64Array, noise: Float64Array): Float64Array {
  const out = new Float64Array(noise.length);
  for (let a = 0; a < 3; a++)
    for (let way = 0; way < NOISE_WAYS; way++)
      for (let c = 0; c < 3; c++)
        out[a * NOISE_WAYS + way] += byReading[3 * a + c] * noise[c * NOISE_WAYS + way];
  return out;
}

/** Lab of a reading through a polynomial. */
export function labThrough(polynomial: Float64Array, reading: ArrayLike<number>, under: Viewing): Lab {
  return labFromXyz(mappedXyz(polynomial, reading), under.white);
}
