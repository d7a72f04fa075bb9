/**
 * The light over card and panels: ln(field) is a quadratic in the position, the same for all channels, and a slope of
 * the light's colour, along which red gains what blue loses.
 */
import type { PointMm } from '../photo/types.ts';

/** Position in units of 100 mm about the centre of the card. */
export type FieldPoint = readonly [number, number];

export const FIELD_TERMS = 7;

/**
 * Light is strongest below a lamp and in the middle of a lens: its curvature per (100 mm)² before a photo is seen. A lamp a metre
 * above, with a third of the light from all around, gives −.013, sky and ceiling none, lenses up to −.01. Between those, and
 * set with benches kept for setting.
 */
const CURVATURE = -0.008;
/** Prior standard deviations: slope per 100 mm, curvature per (100 mm)²; a lamp about a metre away. */
export const SLOPE_SD = 0.12;
const CURVATURE_SD = 0.02;
/**
 * How much warmer, or colder, the light is 100 mm further on, where a second light, or a wall, reaches in. Common practice,
 * no source; set with benches kept for setting.
 */
const DRIFT_SD = 0.003;
const WARMTH = [1, 0, -1] as const;

/** A position on the card's plane as the field takes it. */
export function fieldPoint(at_mm: PointMm, size_mm: readonly [number, number]): FieldPoint {
  return [(at_mm[0] - size_mm[0] / 2) / 100, (at_mm[1] - size_mm[1] / 2) / 100];
}

/** The field's terms at a point for a channel, each times its prior standard deviation: ln(field) = Σ term·θ. */
export function fieldTerms([x, y]: FieldPoint, channel: number): Float64Array {
  return Float64Array.of(
    SLOPE_SD * x,
    SLOPE_SD * y,
    CURVATURE_SD * x * x,
    CURVATURE_SD * x * y,
    CURVATURE_SD * y * y,
    DRIFT_SD * WARMTH[channel] * x,
    DRIFT_SD * WARMTH[channel] * y,
  );
}

/** ln(field) at a point before a photo is seen. */
export function expectedField([x, y]: FieldPoint): number {
  return CURVATURE * (x * x + y * y);
}

/** ln(field) beside the expected one, of terms under the fit's unknowns from `at` on. */
export function logField(terms: Float64Array, theta: Float64Array, at: number): number {
  let sum = 0;
  for (let k = 0; k < FIELD_TERMS; k++) sum += terms[k] * theta[at + k];
  return sum;
}
