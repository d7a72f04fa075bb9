/** Keeps the covariance invertible when draws don't differ at all: (.001)² in Lab units. */
const JITTER = 1e-6;

/** Squared Mahalanobis distance from zero of the mean of n drawn Lab differences (3 values each) under their covariance. */
function squaredMahalanobis(differences: Float64Array): number {
  const n = differences.length / 3;
  let x = 0;
  let y = 0;
  let z = 0;
  for (let k = 0; k < differences.length; k += 3) {
    x += differences[k] / n;
    y += differences[k + 1] / n;
    z += differences[k + 2] / n;
  }
  let xx = JITTER;
  let yy = JITTER;
  let zz = JITTER;
  let xy = 0;
  let xz = 0;
  let yz = 0;
  for (let k = 0; k < differences.length; k += 3) {
    const u = differences[k] - x;
    const v = differences[k + 1] - y;
    const w = differences[k + 2] - z;
    xx += (u * u) / n;
    xy += (u * v) / n;
    xz += (u * w) / n;
    yy += (v * v) / n;
    yz += (v * w) / n;
    zz += (w * w) / n;
  }
  const a = yy * zz - yz * yz;
  const b = xz * yz - xy * zz;
  const c = xy * yz - xz * yy;
  const d = xx * zz - xz * xz;
  const e = xy * xz - xx * yz;
  const f = xx * yy - xy * xy;
  const determinant = xx * a + xy * b + xz * c;
  return (x * x * a + y * y * d + z * z * f + 2 * (x * y * b + x * z * c + y * z * e)) / determinant;
}

/** The 95 % point of χ² with 3 degrees of freedom. */
const CHI2_95_3 = 7.815;

/** Whether draws of a difference (count × 3) lie so far from nothing that there is one. */
export const isSignificant = (differences: Float64Array): boolean =>
  squaredMahalanobis(differences) >= CHI2_95_3;
