import type { PointPx, QuadPx } from './types.ts';

/** Geometry of quadrilaterals in a photo. */

/** Coefficients of x = (a u + b v + c) / (g u + h v + 1), y = (d u + e v + f) / (g u + h v + 1). */
interface SquareToQuad {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  readonly e: number;
  readonly f: number;
  readonly g: number;
  readonly h: number;
}

/** The perspective that takes the unit square's corners, clockwise from (0, 0), to a quadrilateral's (Heckbert 1989). */
function squareToQuad(quad: QuadPx): SquareToQuad {
  const [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = quad;
  const sx = x0 - x1 + x2 - x3;
  const sy = y0 - y1 + y2 - y3;
  const dx1 = x1 - x2;
  const dx2 = x3 - x2;
  const dy1 = y1 - y2;
  const dy2 = y3 - y2;
  const det = dx1 * dy2 - dx2 * dy1;
  const g = (sx * dy2 - dx2 * sy) / det;
  const h = (dx1 * sy - sx * dy1) / det;
  return {
    a: x1 - x0 + g * x1,
    b: x3 - x0 + h * x3,
    c: x0,
    d: y1 - y0 + g * y1,
    e: y3 - y0 + h * y3,
    f: y0,
    g,
    h,
  };
}

/** The same as eight numbers, a to h. */
export function perspectiveOf(quad: QuadPx): Float64Array {
  const { a, b, c, d, e, f, g, h } = squareToQuad(quad);
  return Float64Array.of(a, b, c, d, e, f, g, h);
}

/** Position in the photo of a place (u, v) on the thing, 0–1 from its top-left corner, as the camera sees it. */
export function pointInQuadAt(quad: QuadPx, u: number, v: number): PointPx {
  const m = squareToQuad(quad);
  const w = m.g * u + m.h * v + 1;
  return [(m.a * u + m.b * v + m.c) / w, (m.d * u + m.e * v + m.f) / w];
}

/** Row-major 3×3 that takes (x, y, 1) in the photo to homogeneous (u, v, w) on the thing's unit square. */
export function quadToSquareMatrix(quad: QuadPx): Float64Array {
  const { a, b, c, d, e, f, g, h } = squareToQuad(quad);
  return Float64Array.of(
    e - f * h,
    c * h - b,
    b * f - c * e,
    f * g - d,
    a - c * g,
    c * d - a * f,
    d * h - e * g,
    b * g - a * h,
    a * e - b * d,
  );
}

/** The part of a quadrilateral from (u0, v0) to (u1, v1) of its unit square, perspective kept. */
export function subQuad(quad: QuadPx, u0: number, v0: number, u1: number, v1: number): QuadPx {
  return [
    pointInQuadAt(quad, u0, v0),
    pointInQuadAt(quad, u1, v0),
    pointInQuadAt(quad, u1, v1),
    pointInQuadAt(quad, u0, v1),
  ];
}

/** The middle of a quadrilateral: `margin` of its width and height trimmed on every side. */
export function innerQuad(quad: QuadPx, margin: number): QuadPx {
  return subQuad(quad, margin, margin, 1 - margin, 1 - margin);
}

function turn(o: PointPx, a: PointPx, b: PointPx): number {
  return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
}

/** True when the four corners run round a convex outline, either way, without a straight or crossed corner. */
export function isConvexQuad(quad: QuadPx): boolean {
  let sign = 0;
  for (let i = 0; i < 4; i++) {
    const t = turn(quad[i], quad[(i + 1) % 4], quad[(i + 2) % 4]);
    if (!Number.isFinite(t) || Math.abs(t) < 1e-9) return false;
    if (sign === 0) sign = Math.sign(t);
    else if (Math.sign(t) !== sign) return false;
  }
  // a crossed outline that turns the same way throughout winds round twice; four corners can't, so this is convex
  return true;
}

/** Area enclosed by an outline that does not cross itself, in the square of its points' unit; 0 for fewer than three. */
export function outlineArea(outline: readonly PointPx[]): number {
  let twice = 0;
  for (let i = 0; i < outline.length; i++) {
    const [x0, y0] = outline[i];
    const [x1, y1] = outline[(i + 1) % outline.length];
    twice += x0 * y1 - x1 * y0;
  }
  return Math.abs(twice) / 2;
}

/** Area enclosed, px². */
export const quadArea: (quad: QuadPx) => number = outlineArea;

/** Length of the shortest side, px. */
export function shortestSide(quad: QuadPx): number {
  let shortest = Number.POSITIVE_INFINITY;
  for (let i = 0; i < 4; i++) {
    const [x0, y0] = quad[i];
    const [x1, y1] = quad[(i + 1) % 4];
    shortest = Math.min(shortest, Math.hypot(x1 - x0, y1 - y0));
  }
  return shortest;
}

/** Width and height of a quadrilateral, each the mean of two opposite sides, in the unit of its corners. */
export function quadSides(quad: readonly PointPx[]): readonly [width: number, height: number] {
  const side = (i: number, j: number): number => Math.hypot(quad[i][0] - quad[j][0], quad[i][1] - quad[j][1]);
  return [(side(0, 1) + side(3, 2)) / 2, (side(0, 3) + side(1, 2)) / 2];
}

/** Mean of the corners. */
export function quadCentre(quad: QuadPx): PointPx {
  return [
    (quad[0][0] + quad[1][0] + quad[2][0] + quad[3][0]) / 4,
    (quad[0][1] + quad[1][1] + quad[2][1] + quad[3][1]) / 4,
  ];
}

/** True when every corner lies in the photo, or no more than `slack_px` beyond its edge. */
export function quadInsidePhoto(
  photo: { readonly width_px: number; readonly height_px: number },
  quad: QuadPx,
  slack_px = 0.5,
): boolean {
  return quad.every(
    ([x, y]) =>
      x >= -slack_px && y >= -slack_px && x <= photo.width_px + slack_px && y <= photo.height_px + slack_px,
  );
}

/** Area shared by two convex quadrilaterals, px² (Sutherland and Hodgman 1974). */
export function sharedArea(first: QuadPx, second: QuadPx): number {
  const orientation = Math.sign(turn(second[0], second[1], second[2])) || 1;
  let outline: PointPx[] = [...first];
  for (let i = 0; i < 4 && outline.length > 0; i++) {
    const a = second[i];
    const b = second[(i + 1) % 4];
    const kept: PointPx[] = [];
    for (let j = 0; j < outline.length; j++) {
      const p = outline[j];
      const q = outline[(j + 1) % outline.length];
      const dp = turn(a, b, p) * orientation;
      const dq = turn(a, b, q) * orientation;
      if (dp >= 0) kept.push(p);
      if (dp >= 0 !== dq >= 0) {
        const t = dp / (dp - dq);
        kept.push([p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]);
      }
    }
    outline = kept;
  }
  return outlineArea(outline);
}

/**
 * Calls `row` with the run of pixel columns [from, to) whose centres lie in a convex quadrilateral, for every
 * `stride`-th pixel row inside the photo.
 */
export function eachPixelRow(
  photo: { readonly width_px: number; readonly height_px: number },
  quad: QuadPx,
  stride: number,
  row: (y: number, from: number, to: number) => void,
): void {
  const ys = quad.map((p) => p[1]);
  const first = Math.max(0, Math.ceil(Math.min(...ys) - 0.5));
  const last = Math.min(photo.height_px - 1, Math.ceil(Math.max(...ys) - 0.5) - 1);
  for (let y = first + (stride >> 1); y <= last; y += stride) {
    const at = y + 0.5;
    let left = Number.POSITIVE_INFINITY;
    let right = Number.NEGATIVE_INFINITY;
    for (let i = 0; i < 4; i++) {
      const [x0, y0] = quad[i];
      const [x1, y1] = quad[(i + 1) % 4];
      if (y0 <= at !== y1 <= at) {
        const x = x0 + ((at - y0) / (y1 - y0)) * (x1 - x0);
        if (x < left) left = x;
        if (x > right) right = x;
      }
    }
    const from = Math.max(0, Math.ceil(left - 0.5));
    const to = Math.min(photo.width_px, Math.ceil(right - 0.5));
    if (to > from) row(y, from, to);
  }
}
