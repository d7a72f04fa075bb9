import { cholesky, choleskySolve, compose3, invert3, type Mat3 } from '../math/linear.ts';

/** A plane seen by a camera: (x, y, 1) to homogeneous (x', y', w), row-major. */
export type Homography = Mat3;

/** Where a homography takes a point. */
export function applyHomography(h: Homography, x: number, y: number): readonly [number, number] {
  const w = h[6] * x + h[7] * y + h[8];
  return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w];
}

/**
 * The homography that takes points to points, both as x, y pairs in one row: exact for four, least squares for more
 * (normalised direct linear transform; Hartley and Zisserman, Multiple View Geometry, 2nd ed., 4.4).
 * Throws RangeError when the points are too few, or degenerate.
 */
export function fitHomography(from: ArrayLike<number>, to: ArrayLike<number>): Homography {
  const count = from.length / 2;
  if (count < 4 || to.length !== from.length) throw new RangeError('a homography needs four points');
  const a = normalisation(from);
  const b = normalisation(to);
  const normal = new Float64Array(64);
  const right = new Float64Array(8);
  const row = new Float64Array(8);
  const add = (value: number): void => {
    for (let i = 0; i < 8; i++) {
      right[i] += row[i] * value;
      for (let j = 0; j <= i; j++) normal[8 * i + j] += row[i] * row[j];
    }
  };
  for (let i = 0; i < count; i++) {
    const x = a[0] * from[2 * i] + a[2];
    const y = a[4] * from[2 * i + 1] + a[5];
    const u = b[0] * to[2 * i] + b[2];
    const v = b[4] * to[2 * i + 1] + b[5];
    row.set([x, y, 1, 0, 0, 0, -u * x, -u * y]);
    add(u);
    row.set([0, 0, 0, x, y, 1, -v * x, -v * y]);
    add(v);
  }
  const h = choleskySolve(cholesky(normal, 8, 1e-14), 8, right);
  const inner = [...h, 1] as unknown as Mat3;
  const m = compose3(invert3(b), compose3(inner, a));
  return m.map((value) => value / m[8]) as unknown as Mat3;
}

/** Shift and scale that bring points to a mean of 0 and a mean distance of √2. */
function normalisation(points: ArrayLike<number>): Mat3 {
  const count = points.length / 2;
  let mx = 0;
  let my = 0;
  for (let i = 0; i < count; i++) {
    mx += points[2 * i] / count;
    my += points[2 * i + 1] / count;
  }
  let distance = 0;
  for (let i = 0; i < count; i++) distance += Math.hypot(points[2 * i] - mx, points[2 * i + 1] - my) / count;
  if (!(distance > 0)) throw new RangeError('the points coincide');
  const s = Math.SQRT2 / distance;
  return [s, 0, -s * mx, 0, s, -s * my, 0, 0, 1];
}
