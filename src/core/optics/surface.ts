/**
 * What a surface does to the light that comes up from below it (Saunderson, J. Opt. Soc. Am. 32, 1942):
 * a share `f` is turned back before it enters and seen by the observer, and a share `k2` of the light that
 * tries to leave is thrown back inside, again and again.
 */
export interface Surface {
  /** Share of the light turned back at the surface that reaches the observer, 0–1. */
  readonly f: number;
  /** Share of diffuse light thrown back inside, 0–1; about .6 for a resin of index 1.5. */
  readonly k2: number;
  /** Share of the light that enters; 1 − k1 in Saunderson's formula. Default .96, index 1.5 at normal incidence. */
  readonly enters?: number;
}

/** A smooth clear seen without its mirror reflection, as a photo square to the panel sees it. */
export const CLEAR_SURFACE: Surface = { f: 0.012, k2: 0.5 };

/** Saunderson's own surface, mirror reflection included: R = k1 + (1−k1)(1−k2) Ri / (1−k2 Ri). */
export function saunderson(k1: number, k2: number): Surface {
  return { f: k1, k2, enters: 1 - k1 };
}

const INDEX_1_5 = 0.96;

/** One value of `surfaceReflectance`. */
export function throughSurface(inner: number, { f, k2, enters = INDEX_1_5 }: Surface): number {
  return f + (enters * (1 - k2) * inner) / (1 - k2 * inner);
}

/** One value of `innerReflectance`. */
export function belowSurface(outer: number, { f, k2, enters = INDEX_1_5 }: Surface): number {
  const passed = outer - f;
  return passed / (enters * (1 - k2) + k2 * passed);
}

/** Reflectance seen from outside, R = f + .96 (1−k2) Ri / (1 − k2 Ri), of an inner reflectance Ri (0–1). */
export function surfaceReflectance(inner: ArrayLike<number>, surface: Surface = CLEAR_SURFACE): Float64Array {
  return Float64Array.from(inner, (r) => throughSurface(r, surface));
}

/** The inverse of `surfaceReflectance`. Below `f` it is negative: no inner reflectance is that dark. */
export function innerReflectance(outer: ArrayLike<number>, surface: Surface = CLEAR_SURFACE): Float64Array {
  return Float64Array.from(outer, (r) => belowSurface(r, surface));
}
