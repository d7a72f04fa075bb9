import type { PointMm } from '../photo/types.ts';

/** Corners in order, any number. */
export type PolygonMm = readonly PointMm[];

/** Corners of [x, y, w, h], clockwise from the top left. */
export function rectangle([x, y, w, h]: readonly [number, number, number, number]): PolygonMm {
  return [
    [x, y],
    [x + w, y],
    [x + w, y + h],
    [x, y + h],
  ];
}

/** Whether the corners run clockwise (y down) around a convex area. */
export function isConvexClockwise(polygon: PolygonMm): boolean {
  return polygon.every((p, i) => {
    const q = polygon[(i + 1) % polygon.length];
    const r = polygon[(i + 2) % polygon.length];
    return (q[0] - p[0]) * (r[1] - q[1]) - (q[1] - p[1]) * (r[0] - q[0]) > 1e-9;
  });
}

/** Whether an edge of `a` has all of `b` on its outer side, touching by at most `slack_mm`. */
function hasSeparatingEdge(a: PolygonMm, b: PolygonMm, slack_mm: number): boolean {
  return a.some((p, i) => {
    const q = a[(i + 1) % a.length];
    const length = Math.hypot(q[0] - p[0], q[1] - p[1]);
    const inwards = (r: PointMm): number =>
      ((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])) / length;
    return b.every((r) => inwards(r) <= slack_mm);
  });
}

/** Whether two convex clockwise polygons share more than a rim of `slack_mm` (separating axis theorem). */
export function doOverlap(a: PolygonMm, b: PolygonMm, slack_mm: number): boolean {
  return !hasSeparatingEdge(a, b, slack_mm) && !hasSeparatingEdge(b, a, slack_mm);
}
