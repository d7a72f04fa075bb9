import type { Outline } from './outlines.ts';

/** Corner positions x0, y0 … x3, y3, clockwise on the screen. */
export type Corners = Float64Array;

/** Shortest side that a quadrilateral on a level may have, pixels. */
const SHORTEST_SIDE = 6;

/** Fits a convex quadrilateral to an outline; undefined when the outline is something else. Positions on the level. */
export function quadOf(outline: Outline): Corners | undefined {
  const corners = cornerPixels(outline);
  if (!corners) return undefined;
  const lines = new Float64Array(12);
  for (let side = 0; side < 4; side++)
    if (!fitSide(outline, corners[side], corners[(side + 1) % 4], lines, 3 * side)) return undefined;
  const quad = intersections(lines);
  return quad && isSound(quad) ? quad : undefined;
}

/** Places in the outline of the four corners, in its own (clockwise) order. */
function cornerPixels(outline: Outline): readonly number[] | undefined {
  const count = outline.length / 2;
  let cx = 0;
  let cy = 0;
  for (let i = 0; i < count; i++) {
    cx += outline[2 * i] / count;
    cy += outline[2 * i + 1] / count;
  }
  // the point farthest from any point is a corner, and so is the one farthest from that corner
  const first = farthest(outline, cx, cy);
  const third = farthest(outline, outline[2 * first], outline[2 * first + 1]);
  const ax = outline[2 * first];
  const ay = outline[2 * first + 1];
  const dx = outline[2 * third] - ax;
  const dy = outline[2 * third + 1] - ay;
  let left = 0;
  let right = 0;
  let second = -1;
  let fourth = -1;
  for (let i = 0; i < count; i++) {
    const cross = dx * (outline[2 * i + 1] - ay) - dy * (outline[2 * i] - ax);
    if (cross < left) {
      left = cross;
      second = i;
    }
    if (cross > right) {
      right = cross;
      fourth = i;
    }
  }
  const diagonal2 = dx * dx + dy * dy;
  if (second < 0 || fourth < 0 || -left < 0.15 * diagonal2 || right < 0.15 * diagonal2) return undefined;
  return [first, second, third, fourth].sort((a, b) => a - b);
}

function farthest(outline: Outline, x: number, y: number): number {
  let best = -1;
  let at = 0;
  for (let i = 0; i < outline.length / 2; i++) {
    const d = (outline[2 * i] - x) ** 2 + (outline[2 * i + 1] - y) ** 2;
    if (d > best) {
      best = d;
      at = i;
    }
  }
  return at;
}

/**
 * Fits a line (total least squares) to the middle of the outline between two corners, moved to the outer side of its
 * pixels, and writes it as nx, ny, c (nx·x + ny·y = c). False when the outline between them is not straight.
 */
function fitSide(outline: Outline, from: number, to: number, lines: Float64Array, at: number): boolean {
  const count = outline.length / 2;
  const length = (to - from + count) % count;
  if (length < SHORTEST_SIDE - 1) return false;
  const skip = Math.max(1, Math.round(0.12 * length));
  let n = 0;
  let mx = 0;
  let my = 0;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let i = skip; i <= length - skip; i++) {
    const p = (from + i) % count;
    const x = outline[2 * p] + 0.5;
    const y = outline[2 * p + 1] + 0.5;
    n++;
    mx += x;
    my += y;
    xx += x * x;
    xy += x * y;
    yy += y * y;
  }
  if (n < 3) return false;
  mx /= n;
  my /= n;
  xx = xx / n - mx * mx;
  xy = xy / n - mx * my;
  yy = yy / n - my * my;
  const half = Math.hypot((xx - yy) / 2, xy);
  const across = (xx + yy) / 2 - half;
  if (across > (0.6 + 0.02 * length) ** 2) return false;
  const angle = 0.5 * Math.atan2(2 * xy, xx - yy);
  let nx = -Math.sin(angle);
  let ny = Math.cos(angle);
  // clockwise on the screen, the outer side of a direction (dx, dy) is (dy, −dx)
  const dx = outline[2 * to] - outline[2 * from];
  const dy = outline[2 * to + 1] - outline[2 * from + 1];
  if (nx * dy - ny * dx < 0) {
    nx = -nx;
    ny = -ny;
  }
  lines[at] = nx;
  lines[at + 1] = ny;
  lines[at + 2] = nx * mx + ny * my + 0.5;
  return true;
}

/** Corners where four lines (nx, ny, c) meet: corner i between side i − 1 and side i. */
export function intersections(lines: Float64Array): Corners | undefined {
  const corners = new Float64Array(8);
  for (let i = 0; i < 4; i++) {
    const a = 3 * ((i + 3) % 4);
    const b = 3 * i;
    const det = lines[a] * lines[b + 1] - lines[a + 1] * lines[b];
    if (Math.abs(det) < 0.2) return undefined;
    corners[2 * i] = (lines[a + 2] * lines[b + 1] - lines[a + 1] * lines[b + 2]) / det;
    corners[2 * i + 1] = (lines[a] * lines[b + 2] - lines[a + 2] * lines[b]) / det;
  }
  return corners;
}

/** Length of a side, from corner `side` to the next. */
export function sideLength(corners: Corners, side: number): number {
  const a = 2 * (side & 3);
  const b = 2 * ((side + 1) & 3);
  return Math.hypot(corners[b] - corners[a], corners[b + 1] - corners[a + 1]);
}

/** Mean of the four side lengths. */
export function meanSide(corners: Corners): number {
  return (
    (sideLength(corners, 0) + sideLength(corners, 1) + sideLength(corners, 2) + sideLength(corners, 3)) / 4
  );
}

/** Convex, clockwise, and of a shape that a tilted square can have. */
export function isSound(corners: Corners): boolean {
  let least = Number.POSITIVE_INFINITY;
  let most = 0;
  for (let i = 0; i < 4; i++) {
    const a = 2 * i;
    const b = 2 * ((i + 1) & 3);
    const c = 2 * ((i + 2) & 3);
    const ux = corners[b] - corners[a];
    const uy = corners[b + 1] - corners[a + 1];
    const vx = corners[c] - corners[b];
    const vy = corners[c + 1] - corners[b + 1];
    const u = Math.hypot(ux, uy);
    const v = Math.hypot(vx, vy);
    // sine of the angle at the corner
    if (!(ux * vy - uy * vx > 0.35 * u * v)) return false;
    least = Math.min(least, u);
    most = Math.max(most, u);
  }
  return least >= 4 && most < 3 * least;
}
