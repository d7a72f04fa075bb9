/** A convex quadrilateral fitted to an outline. Positions on the level. */
import { atan2, cos, hypot, sin } from '../math';
import { at, put } from '../numbers';
import { intersect, isSound, meanSide } from './quads';

/** Shortest side that a quadrilateral on a level may have, pixels. */
const SHORTEST_SIDE: i32 = 6;
/** Brightness step (0–255) that the edge of a tag shows at least, and how many of sixteen places must show it. */
const LEAST_STEP: i32 = 10;
const LEAST_SEEN: i32 = 12;

let outline: usize = 0;
let count: i32 = 0;

function xOf(i: i32): f64 {
  return <f64>load<i32>(outline + 8 * <usize>i);
}

function yOf(i: i32): f64 {
  return <f64>load<i32>(outline + 8 * <usize>i, 4);
}

/** False when the outline is something else. `lines` has room for twelve numbers. */
export function fitQuad(outlineAt: usize, length: i32, corners: usize, lines: usize): bool {
  outline = outlineAt;
  count = length;
  let cx: f64 = 0;
  let cy: f64 = 0;
  for (let i = 0; i < count; i++) {
    cx += xOf(i) / <f64>count;
    cy += yOf(i) / <f64>count;
  }
  // the point farthest from any point is a corner, and so is the one farthest from that corner
  const first = farthest(cx, cy);
  const third = farthest(xOf(first), yOf(first));
  const ax = xOf(first);
  const ay = yOf(first);
  const dx = xOf(third) - ax;
  const dy = yOf(third) - ay;
  let left: f64 = 0;
  let right: f64 = 0;
  let second = -1;
  let fourth = -1;
  for (let i = 0; i < count; i++) {
    const cross = dx * (yOf(i) - ay) - dy * (xOf(i) - ax);
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
  if (second < 0 || fourth < 0 || -left < 0.15 * diagonal2 || right < 0.15 * diagonal2) return false;
  // all four in the outline's own order
  const low = min(first, third);
  const high = max(first, third);
  const a = min(second, fourth);
  const b = max(second, fourth);
  const p0 = min(low, a);
  const p3 = max(high, b);
  const p1 = min(max(low, a), min(high, b));
  const p2 = max(max(low, a), min(high, b));
  return (
    fitSide(p0, p1, lines, 0) &&
    fitSide(p1, p2, lines, 3) &&
    fitSide(p2, p3, lines, 6) &&
    fitSide(p3, p0, lines, 9) &&
    intersect(lines, corners) &&
    isSound(corners)
  );
}

function farthest(x: f64, y: f64): i32 {
  let best: f64 = -1;
  let found = 0;
  for (let i = 0; i < count; i++) {
    const dx = xOf(i) - x;
    const dy = yOf(i) - y;
    const d = dx * dx + dy * dy;
    if (d > best) {
      best = d;
      found = i;
    }
  }
  return found;
}

/**
 * Fits a line (total least squares) to the middle of the outline between two corners, moved to the outer side of its pixels, and writes
 * it as nx, ny, c (nx·x + ny·y = c). False when the outline between them is not straight.
 */
function fitSide(from: i32, to: i32, lines: usize, into: i32): bool {
  const length = (to - from + count) % count;
  if (length < SHORTEST_SIDE - 1) return false;
  const skip = max(1, <i32>floor(0.12 * <f64>length + 0.5));
  let n: f64 = 0;
  let mx: f64 = 0;
  let my: f64 = 0;
  let xx: f64 = 0;
  let xy: f64 = 0;
  let yy: f64 = 0;
  for (let i = skip; i <= length - skip; i++) {
    const p = (from + i) % count;
    const x = xOf(p) + 0.5;
    const y = yOf(p) + 0.5;
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
  const half = hypot((xx - yy) / 2, xy, 0);
  const across = (xx + yy) / 2 - half;
  const limit = 0.6 + 0.02 * <f64>length;
  if (across > limit * limit) return false;
  const angle = 0.5 * atan2(2 * xy, xx - yy);
  let nx = -sin(angle);
  let ny = cos(angle);
  // clockwise on the screen, the outer side of a direction (dx, dy) is (dy, −dx)
  if (nx * (yOf(to) - yOf(from)) - ny * (xOf(to) - xOf(from)) < 0) {
    nx = -nx;
    ny = -ny;
  }
  put(lines, into, nx);
  put(lines, into + 1, ny);
  put(lines, into + 2, nx * mx + ny * my + 0.5);
  return true;
}

/** Whether the level is darker just inside the sides than just outside, nearly everywhere. */
export function isDarkInside(level: usize, width: i32, height: i32, quad: usize): bool {
  const inset = max(0.8, meanSide(quad) / 16);
  let seen = 0;
  for (let side = 0; side < 4; side++) {
    const a = 2 * side;
    const b = 2 * ((side + 1) & 3);
    const dx = at(quad, b) - at(quad, a);
    const dy = at(quad, b + 1) - at(quad, a + 1);
    const length = hypot(dx, dy, 0);
    for (let i = 0; i < 4; i++) {
      const t = 0.2 + 0.2 * <f64>i;
      const x = at(quad, a) + dx * t;
      const y = at(quad, a + 1) + dy * t;
      const ix = <i32>floor(x - (dy / length) * inset);
      const iy = <i32>floor(y + (dx / length) * inset);
      const ox = <i32>floor(x + (dy / length) * (inset + 0.5));
      const oy = <i32>floor(y - (dx / length) * (inset + 0.5));
      if (ix < 0 || iy < 0 || ix >= width || iy >= height) return false;
      if (ox < 0 || oy < 0 || ox >= width || oy >= height) continue;
      if (<i32>load<u8>(level + oy * width + ox) - <i32>load<u8>(level + iy * width + ix) >= LEAST_STEP)
        seen++;
    }
  }
  return seen >= LEAST_SEEN;
}
