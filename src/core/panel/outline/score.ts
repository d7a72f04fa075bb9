/** How well a quadrilateral explains the maps: panel throughout, no edge inside, edge all along its outline. */
import { perspectiveOf } from '../../photo/polygon.ts';
import type { QuadPx } from '../../photo/types.ts';
import { onMaps } from './map-code.ts';
import type { PanelMaps } from './maps.ts';

/** 0–1; a quadrilateral of map pixels. */
export function explains(maps: PanelMaps, quad: QuadPx): number {
  const [inside, ...all] = onMaps(
    maps,
    () => 64,
    (code, work) => {
      new Float64Array(code.memory.buffer, work, 8).set(perspectiveOf(quad));
      const sideShare = (i: number): number => code.sideShare(...quad[(i + 1) % 4], ...quad[i]);
      return [code.insideShare(work), sideShare(0), sideShare(1), sideShare(2), sideShare(3)];
    },
  );
  if (inside < 0) return 0;
  // the weakest side counts as much as all of them; what is covered tells nothing
  const sides = all.filter((s) => s >= 0);
  if (sides.length < 2) return 0;
  const mean = sides.reduce((sum, s) => sum + s, 0) / sides.length;
  return inside * (0.5 * mean + 0.5 * Math.min(...sides));
}
