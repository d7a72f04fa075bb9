/** Lids of one job are mostly of one size (common practice, no source): where a side is hidden, a disc of that size. */
import type { CardPlace } from '../../card/types.ts';
import { outlineArea } from '../../photo/polygon.ts';
import { medianOf } from '../../photo/sample-tiles.ts';
import type { PointMm, PointPx } from '../../photo/types.ts';
import { ALIKE, FEWEST_OF_A_SIZE } from './like-sized.ts';
import { COVERED, EDGE_MAP, mapOf, OBJECT_MAP, PANEL_MAP, type PanelMaps, pixelAt } from './maps.ts';

/** Points of a disc's outline, as it is drawn and as it is looked at. */
const AROUND = 64;
/** Rings looked at inside, as shares of the radius. */
const RINGS = [0.2, 0.45, 0.7] as const;
/** Steps of the search for the centre, as shares of the radius: over the whole, then about the best. */
const STEPS = [1 / 8, 1 / 24, 1 / 72] as const;
/** So much of the outline has to be seen. */
const LEAST_SEEN = 0.3;

export interface Disc {
  readonly outline_px: readonly PointPx[];
  /** How well it explains the maps: panel inside, edge all along what is seen of its outline; 0–1. */
  readonly confidence: number;
}

/** The radius on the card's plane, mm, that at least two and at least half of the outlines have. */
export function commonRadius(outlines: readonly (readonly PointPx[])[], card: CardPlace): number | undefined {
  const radii = outlines.map((outline) => radiusOf(outline, card));
  const groups = radii.map((r) => radii.filter((other) => Math.abs(other - r) <= ALIKE * r));
  const [largest] = groups.sort((a, b) => b.length - a.length);
  if (!largest || largest.length < FEWEST_OF_A_SIZE || 2 * largest.length < outlines.length) return undefined;
  return medianOf(largest);
}

export function hasRadius(outline: readonly PointPx[], radius_mm: number, card: CardPlace): boolean {
  return Math.abs(radiusOf(outline, card) - radius_mm) <= ALIKE * radius_mm;
}

/** The disc of a radius about a panel's map pixels that explains the maps best. */
export function discAmong(
  maps: PanelMaps,
  pixels: Int32Array,
  radius_mm: number,
  card: CardPlace,
  [sx, sy]: PointPx,
): Disc | undefined {
  const toMap = (mm: PointMm): PointPx => {
    const [x, y] = card.toPx(mm);
    return [x / sx, y / sy];
  };
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const at of pixels) {
    const [x, y] = card.toMm([((at % maps.width) + 0.5) * sx, (Math.floor(at / maps.width) + 0.5) * sy]);
    [left, right, top, bottom] = [
      Math.min(left, x),
      Math.max(right, x),
      Math.min(top, y),
      Math.max(bottom, y),
    ];
  }
  let centre: PointMm = [(left + right) / 2, (top + bottom) / 2];
  let reach = Math.max(right - left, bottom - top) / 2;
  let best = 0;
  for (const step of STEPS.map((share) => share * radius_mm)) {
    const [from, count] = [centre, Math.ceil(reach / step)];
    for (let i = -count; i <= count; i++)
      for (let j = -count; j <= count; j++) {
        const there: PointMm = [from[0] + i * step, from[1] + j * step];
        const worth = explainedBy(maps, (angle, share) => toMap(around(there, share * radius_mm, angle)));
        if (worth > best) [best, centre] = [worth, there];
      }
    reach = 1.5 * step;
  }
  if (best === 0) return undefined;
  const outline_px = Array.from({ length: AROUND }, (_, k) => card.toPx(around(centre, radius_mm, turn(k))));
  return { outline_px, confidence: best };
}

/** `at` gives the map's place at an angle and a share of the radius. */
function explainedBy(maps: PanelMaps, at: (angle: number, share: number) => PointPx): number {
  const [panel, edge, object] = [PANEL_MAP, EDGE_MAP, OBJECT_MAP].map((which) => mapOf(maps, which));
  const indexAt = (angle: number, share: number): number => pixelAt(maps, ...at(angle, share));
  let [along, seen, within, places] = [0, 0, 0, 0];
  for (let k = 0; k < AROUND; k++) {
    const rim = indexAt(turn(k), 1);
    if (rim < 0) return 0;
    if (object[rim] <= COVERED) {
      seen++;
      along += edge[rim];
    }
    const inner = indexAt(turn(k), RINGS[k % RINGS.length]);
    if (inner < 0 || object[inner] > COVERED) continue;
    places++;
    within += panel[inner] * (1 - Math.min(1, 2 * edge[inner]));
  }
  if (seen < LEAST_SEEN * AROUND || places < 0.15 * AROUND) return 0;
  return (along / seen) * (within / places);
}

const turn = (k: number): number => (2 * Math.PI * k) / AROUND;
const around = ([x, y]: PointMm, radius: number, angle: number): PointMm => [
  x + radius * Math.cos(angle),
  y + radius * Math.sin(angle),
];

/** The radius, mm, of the circle that has the outline's area on the card's plane. */
function radiusOf(outline: readonly PointPx[], card: CardPlace): number {
  return Math.sqrt(outlineArea(outline.map(card.toMm)) / Math.PI);
}
