/** Quadrilaterals: corners are x0, y0 … x3, y3, clockwise on the screen. */
import { hypot } from '../math';
import { at, put } from '../numbers';

/** Corners where four lines (nx, ny, c) meet: corner i between side i − 1 and side i. False where two of them hardly do. */
export function intersect(lines: usize, corners: usize): bool {
  for (let i = 0; i < 4; i++) {
    const a = 3 * ((i + 3) & 3);
    const b = 3 * i;
    const det = at(lines, a) * at(lines, b + 1) - at(lines, a + 1) * at(lines, b);
    if (abs(det) < 0.2) return false;
    put(corners, 2 * i, (at(lines, a + 2) * at(lines, b + 1) - at(lines, a + 1) * at(lines, b + 2)) / det);
    put(corners, 2 * i + 1, (at(lines, a) * at(lines, b + 2) - at(lines, a + 2) * at(lines, b)) / det);
  }
  return true;
}

/** Length of a side, from corner `side` to the next. */
export function sideLength(corners: usize, side: i32): f64 {
  const a = 2 * side;
  const b = 2 * ((side + 1) & 3);
  return hypot(at(corners, b) - at(corners, a), at(corners, b + 1) - at(corners, a + 1), 0);
}

export function meanSide(corners: usize): f64 {
  return (
    (sideLength(corners, 0) + sideLength(corners, 1) + sideLength(corners, 2) + sideLength(corners, 3)) / 4
  );
}

/** Convex, clockwise, and of a shape that a tilted square can have. */
export function isSound(corners: usize): bool {
  let least = Infinity;
  let most: f64 = 0;
  for (let i = 0; i < 4; i++) {
    const a = 2 * i;
    const b = 2 * ((i + 1) & 3);
    const c = 2 * ((i + 2) & 3);
    const ux = at(corners, b) - at(corners, a);
    const uy = at(corners, b + 1) - at(corners, a + 1);
    const vx = at(corners, c) - at(corners, b);
    const vy = at(corners, c + 1) - at(corners, b + 1);
    const u = hypot(ux, uy, 0);
    const v = hypot(vx, vy, 0);
    // sine of the angle at the corner
    if (!(ux * vy - uy * vx > 0.35 * u * v)) return false;
    least = min(least, u);
    most = max(most, u);
  }
  return least >= 4 && most < 3 * least;
}
