import type { PointPx } from '../../../src/core/photo/types.ts';

/** Area of two convex outlines in common over that of both together (clipping by Sutherland and Hodgman 1974). */
export function overlap(a: readonly PointPx[], b: readonly PointPx[]): number {
  const shared = Math.abs(area(clipped(a, b)));
  return shared / Math.max(1e-9, Math.abs(area(a)) + Math.abs(area(b)) - shared);
}

function area(outline: readonly PointPx[]): number {
  return outline.reduce((sum, [x0, y0], i) => {
    const [x1, y1] = outline[(i + 1) % outline.length];
    return sum + (x0 * y1 - x1 * y0) / 2;
  }, 0);
}

function clipped(outline: readonly PointPx[], by: readonly PointPx[]): PointPx[] {
  const winding = Math.sign(area(by));
  let kept = [...outline];
  by.forEach(([ax, ay], i) => {
    const [bx, by_] = by[(i + 1) % by.length];
    const side = ([x, y]: PointPx): number => winding * ((bx - ax) * (y - ay) - (by_ - ay) * (x - ax));
    kept = kept.flatMap((p, j) => {
      const q = kept[(j + 1) % kept.length];
      const [dp, dq] = [side(p), side(q)];
      const cross: PointPx[] =
        dp >= 0 !== dq >= 0
          ? [[p[0] + (dp / (dp - dq)) * (q[0] - p[0]), p[1] + (dp / (dp - dq)) * (q[1] - p[1])]]
          : [];
      return dp >= 0 ? [p, ...cross] : cross;
    });
  });
  return kept;
}
