/** Keeps panels' names when a photo is taken again from about the same place. */

import { quadArea, quadCentre } from '../../photo/polygon.ts';
import type { PointPx, QuadPx } from '../../photo/types.ts';
import type { PlacedPanel } from '../check.ts';
import { panelName } from '../find/order.ts';

/** A panel may have moved by this share of its own size. */
const MOVED = 0.6;
const LARGEST_SCALE = 2;

/**
 * Gives panels the names that those before had at the same places; the others get names not used yet, in their order.
 * `toBefore` takes a place of the new photo to where it was in the one before (through the card's plane, say).
 */
export function keepNames<T extends PlacedPanel>(
  panels: readonly T[],
  before: readonly PlacedPanel[],
  toBefore: (p: PointPx) => PointPx = (p) => p,
): T[] {
  const pairs = panels.flatMap((panel, i) => {
    const quad = panel.corners_px.map(toBefore) as unknown as QuadPx;
    return before.map((old, j) => ({ i, j, apart: apartness(quad, old.corners_px) }));
  });
  const names = new Map<number, string>();
  const used = new Set<string>();
  for (const { i, j, apart } of pairs.sort((a, b) => a.apart - b.apart)) {
    if (apart > MOVED || names.has(i) || used.has(before[j].id)) continue;
    names.set(i, before[j].id);
    used.add(before[j].id);
  }
  // a name that was given is not given to another panel, also when its own is gone
  for (const { id } of before) used.add(id);
  let next = 0;
  return panels.map((panel, i) => {
    const kept = names.get(i);
    if (kept !== undefined) return { ...panel, id: kept };
    while (used.has(panelName(next))) next++;
    const id = panelName(next++);
    return { ...panel, id };
  });
}

/** Distance of the centres over the panel's size; out of reach when the sizes differ much. */
function apartness(a: QuadPx, b: QuadPx): number {
  const [areaA, areaB] = [quadArea(a), quadArea(b)];
  if (Math.max(areaA, areaB) > LARGEST_SCALE ** 2 * Math.min(areaA, areaB)) return Number.POSITIVE_INFINITY;
  const [ca, cb] = [quadCentre(a), quadCentre(b)];
  return Math.hypot(ca[0] - cb[0], ca[1] - cb[1]) / Math.sqrt(Math.max(1e-9, Math.min(areaA, areaB)));
}
