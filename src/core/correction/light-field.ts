/** The light over card and panels: ln(field) is a quadratic in the position, the same for all channels. */
import type { PointMm } from '../photo/types.ts';

/** Position in units of 100 mm about the centre of the card. */
export type FieldPoint = readonly [number, number];

export const FIELD_TERMS = 5;

/** Prior standard deviations: slope per 100 mm, curvature per (100 mm)²; a lamp about a metre away. */
const SLOPE_SD = 0.12;
const CURVATURE_SD = 0.03;

/** A position on the card's plane as the field takes it. */
export function fieldPoint(at_mm: PointMm, size_mm: readonly [number, number]): FieldPoint {
  return [(at_mm[0] - size_mm[0] / 2) / 100, (at_mm[1] - size_mm[1] / 2) / 100];
}

/** The field's terms at a point, each times its prior standard deviation: ln(field) = Σ term·θ. */
export function fieldTerms([x, y]: FieldPoint): Float64Array {
  return Float64Array.of(
    SLOPE_SD * x,
    SLOPE_SD * y,
    CURVATURE_SD * x * x,
    CURVATURE_SD * x * y,
    CURVATURE_SD * y * y,
  );
}
