import { quadCentre } from './polygon.ts';
import type { QuadPx } from './types.ts';

/** Three numbers an edge of a quadrilateral, a, b and c: a place (x, y) lies a x + b y + c px on its inner side. */
export type InwardEdges = Float64Array;

export function inwardEdges(quad: QuadPx): InwardEdges {
  const [middleX, middleY] = quadCentre(quad);
  const edges = new Float64Array(12);
  for (let i = 0; i < 4; i++) {
    const [x0, y0] = quad[i];
    const [x1, y1] = quad[(i + 1) % 4];
    const length = Math.hypot(x1 - x0, y1 - y0);
    const a = (y0 - y1) / length;
    const b = (x1 - x0) / length;
    const c = -(a * x0 + b * y0);
    const inward = a * middleX + b * middleY + c < 0 ? -1 : 1;
    edges.set([inward * a, inward * b, inward * c], 3 * i);
  }
  return edges;
}
