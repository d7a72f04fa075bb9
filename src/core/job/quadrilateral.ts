import type { QuadPx } from '../photo/types.ts';

/** Whether four corners, in turn, make a convex quadrilateral with some area (either way round, more than 1 px²). */
export function isQuadrilateral(corners: QuadPx): boolean {
  const turns = corners.map((p, i) => {
    const q = corners[(i + 1) % 4];
    const r = corners[(i + 2) % 4];
    return (q[0] - p[0]) * (r[1] - q[1]) - (q[1] - p[1]) * (r[0] - q[0]);
  });
  return turns.every((t) => t > 1) || turns.every((t) => t < -1);
}
