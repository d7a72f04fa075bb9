/** How well a quadrilateral explains the maps: panel throughout, no edge inside, edge all along its outline. */
import { pointInQuadAt } from '../../photo/polygon.ts';
import type { QuadPx } from '../../photo/types.ts';
import {
  CARD_MAP,
  COVERED,
  EDGE_MAP,
  mapOf,
  OBJECT_MAP,
  PANEL_MAP,
  type PanelMaps,
  pixelAt,
} from './maps.ts';

const INSIDE = 18;
const ALONG = 20;
/** Looked at inside: all but this share at the rim. */
const RIM = 0.12;
const PLACES = Array.from({ length: INSIDE }, (_, k) => RIM + ((1 - 2 * RIM) * (k + 0.5)) / INSIDE);
/** An edge may lie so many map pixels off the outline. */
const SLACK = 1;
/** So many map pixels within a side no edge is left: there is one where the side lies on the next panel's edge. */
const CLEAR = 2.3;
/** How much of a side's worth hangs on that. */
const CLEAR_SHARE = 0.6;

/** 0–1; a quadrilateral of map pixels. */
export function explains(maps: PanelMaps, quad: QuadPx): number {
  const inside = insideShare(maps, quad);
  if (inside === undefined) return 0;
  // the weakest side counts as much as all of them
  const sides = quad.map((a, i) => sideShare(maps, quad[(i + 1) % 4], a)).filter((s) => s >= 0);
  if (sides.length < 2) return 0;
  const mean = sides.reduce((sum, s) => sum + s, 0) / sides.length;
  return inside * (0.5 * mean + 0.5 * Math.min(...sides));
}

/** How much of the inside is panel without an edge; undefined when nearly all of it is covered. */
function insideShare(maps: PanelMaps, quad: QuadPx): number | undefined {
  const panel = mapOf(maps, PANEL_MAP);
  const edge = mapOf(maps, EDGE_MAP);
  const object = mapOf(maps, OBJECT_MAP);
  const card = mapOf(maps, CARD_MAP);
  let inside = 0;
  let places = 0;
  for (let i = 0; i < INSIDE; i++)
    for (let j = 0; j < INSIDE; j++) {
      const [x, y] = pointInQuadAt(quad, PLACES[i], PLACES[j]);
      const p = pixelAt(maps, x, y);
      if (p < 0 || object[p] > COVERED) continue;
      places++;
      inside += panel[p] * (1 - Math.min(1, 2 * edge[p])) * (1 - card[p]);
    }
  return places < 0.15 * INSIDE * INSIDE ? undefined : inside / places;
}

/** Mean of the strongest edge within the slack along a side, less where there is edge farther in; −1 when nearly all of it is covered. */
function sideShare(maps: PanelMaps, a: readonly [number, number], b: readonly [number, number]): number {
  const panel = mapOf(maps, PANEL_MAP);
  const edge = mapOf(maps, EDGE_MAP);
  const object = mapOf(maps, OBJECT_MAP);
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const nx = (b[1] - a[1]) / length;
  const ny = (a[0] - b[0]) / length;
  let sum = 0;
  let places = 0;
  for (let k = 0; k < ALONG; k++) {
    const t = 0.06 + (0.88 * (k + 0.5)) / ALONG;
    const x = a[0] + t * (b[0] - a[0]);
    const y = a[1] + t * (b[1] - a[1]);
    let strongest = 0;
    let isCovered = false;
    for (let s = -SLACK; s <= SLACK; s += 0.5) {
      const p = pixelAt(maps, x + nx * s, y + ny * s);
      if (p < 0) continue;
      // a hit off the outline counts for less
      strongest = Math.max(strongest, edge[p] * (1 - 0.25 * Math.abs(s)));
      isCovered ||= object[p] > COVERED;
    }
    const within = pixelAt(maps, x + nx * CLEAR, y + ny * CLEAR);
    const clear = within < 0 ? 0 : Math.min(1, 1.2 * panel[within] * (1 - edge[within]));
    if (isCovered) continue;
    sum += strongest * (1 - CLEAR_SHARE + CLEAR_SHARE * clear);
    places++;
  }
  return places < 0.2 * ALONG ? -1 : sum / places;
}
