import { type Lab, localFrame } from '../color/index.ts';
import { type Mat3, symmetricEigen } from '../math/linear.ts';

/**
 * The local frame of CIEDE2000 at a colour: the symmetric matrix W with ‖W·ΔLab‖ = ΔE2000 for small differences.
 * Symmetric, so that its axes stay near L*, a* and b* for every hue.
 */
export function differenceFrame(lab: Lab): Mat3 {
  const f = localFrame(lab);
  const m = new Array<number>(9).fill(0);
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++) for (let k = 0; k < 3; k++) m[3 * i + j] += f[3 * k + i] * f[3 * k + j];
  return symmetricRoot(m as unknown as Mat3);
}

/** The symmetric square root of a symmetric positive semidefinite 3×3 matrix. */
export function symmetricRoot(m: Mat3): Mat3 {
  return ofEigenvalues(m, (v) => Math.sqrt(Math.max(0, v)));
}

/** The nearest symmetric 3×3 matrix whose eigenvalues are not below `floor`. */
export function atLeast(m: Mat3, floor: number): Mat3 {
  return ofEigenvalues(m, (v) => Math.max(floor, v));
}

function ofEigenvalues(m: Mat3, f: (value: number) => number): Mat3 {
  const { values, vectors } = symmetricEigen(Float64Array.from(m), 3);
  const out = new Array<number>(9).fill(0);
  for (let k = 0; k < 3; k++) {
    const v = f(values[k]);
    for (let i = 0; i < 3; i++)
      for (let j = 0; j < 3; j++) out[3 * i + j] += v * vectors[3 * i + k] * vectors[3 * j + k];
  }
  return out as unknown as Mat3;
}
