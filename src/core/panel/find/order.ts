import { quadCentre } from '../../photo/polygon.ts';
import type { QuadPx } from '../../photo/types.ts';

/** Corners clockwise from the one nearest the photo's top left. */
export function fromTopLeft(quad: QuadPx): QuadPx {
  const [cx, cy] = quadCentre(quad);
  const clockwise = [...quad].sort(
    (p, q) => Math.atan2(p[1] - cy, p[0] - cx) - Math.atan2(q[1] - cy, q[0] - cx),
  );
  let first = 0;
  for (let i = 1; i < 4; i++)
    if (clockwise[i][0] + clockwise[i][1] < clockwise[first][0] + clockwise[first][1]) first = i;
  return [0, 1, 2, 3].map((i) => clockwise[(first + i) % 4]) as unknown as QuadPx;
}

/** In reading order: rows from the top, each from the left. A row is what overlaps its first panel's middle half. */
export function inReadingOrder<T extends { readonly quad: QuadPx }>(panels: readonly T[]): T[] {
  const left = panels.map((panel) => {
    const ys = panel.quad.map((p) => p[1]);
    return { panel, centre: quadCentre(panel.quad), height: Math.max(...ys) - Math.min(...ys) };
  });
  left.sort((a, b) => a.centre[1] - b.centre[1]);
  const ordered: T[] = [];
  while (left.length > 0) {
    const limit = left[0].centre[1] + left[0].height / 2;
    const inRow = left.findIndex(({ centre }) => centre[1] > limit);
    const row = left.splice(0, inRow < 0 ? left.length : inRow);
    row.sort((a, b) => a.centre[0] - b.centre[0]);
    ordered.push(...row.map(({ panel }) => panel));
  }
  return ordered;
}

/** A, B, … Z, AA, AB, … */
export function panelName(index: number): string {
  const last = String.fromCharCode(65 + (index % 26));
  return index < 26 ? last : panelName(Math.floor(index / 26) - 1) + last;
}
