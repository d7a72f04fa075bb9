import { deltaE2000 } from './difference.ts';
import type { Lab } from './lab.ts';

/**
 * The local ΔE2000 frame at a colour: a 3×3 matrix F (row-major, upper triangular) such that
 * ΔE2000(lab, lab + d) ≈ |F·d| for small d. From finite differences of the squared difference.
 */
export function localFrame(lab: Lab): Float64Array {
  const h = 0.05;
  const squared = (d: readonly number[]): number =>
    deltaE2000(lab, [lab[0] + d[0], lab[1] + d[1], lab[2] + d[2]]) ** 2 / (h * h);
  const axis = [0, 1, 2].map((i) => {
    const plus = [0, 0, 0];
    const minus = [0, 0, 0];
    plus[i] = h;
    minus[i] = -h;
    return 0.5 * (squared(plus) + squared(minus));
  });
  const cross = (i: number, j: number): number => {
    const same = [0, 0, 0];
    const opposite = [0, 0, 0];
    same[i] = h;
    same[j] = h;
    opposite[i] = h;
    opposite[j] = -h;
    return 0.25 * (squared(same) - squared(opposite));
  };
  const g01 = cross(0, 1);
  const g02 = cross(0, 2);
  const g12 = cross(1, 2);
  const f00 = Math.sqrt(axis[0]);
  const f01 = g01 / f00;
  const f02 = g02 / f00;
  const f11 = Math.sqrt(Math.max(1e-6, axis[1] - f01 * f01));
  const f12 = (g12 - f01 * f02) / f11;
  const f22 = Math.sqrt(Math.max(1e-6, axis[2] - f02 * f02 - f12 * f12));
  return Float64Array.of(f00, f01, f02, 0, f11, f12, 0, 0, f22);
}
