/** Where things lie on the bench: panels and grey strips beside the card, on its plane. */
import type { SceneRandom } from './random.ts';

export type PlaceMm = readonly [number, number];

/** A flat thing on the card's plane: its centre, size, and turn (degrees, clockwise as seen). */
export interface Placed {
  readonly centre_mm: PlaceMm;
  readonly size_mm: PlaceMm;
  readonly turn_deg: number;
}

/** A point given in a thing's own mm (from its top left) on the card's plane. */
export function onPlane(thing: Placed, [x, y]: PlaceMm): PlaceMm {
  const a = (thing.turn_deg * Math.PI) / 180;
  const dx = x - thing.size_mm[0] / 2;
  const dy = y - thing.size_mm[1] / 2;
  return [
    thing.centre_mm[0] + dx * Math.cos(a) - dy * Math.sin(a),
    thing.centre_mm[1] + dx * Math.sin(a) + dy * Math.cos(a),
  ];
}

export interface Layout {
  readonly panels: readonly Placed[];
  readonly strips: readonly Placed[];
}

/** Panels in rows on one to three sides of the card, 30–250 mm from it, strips beyond them. */
export function layOut(
  card_mm: PlaceMm,
  count: number,
  strips_mm: readonly PlaceMm[],
  random: SceneRandom,
): Layout {
  const [w, h] = [random.between(48, 62), random.between(58, 78)];
  const gap = random.between(10, 18);
  const sides = random.pick(SIDES);
  const slots: PlaceMm[] = [];
  const off = 30 + random.between(0, 12);
  for (let ix = -6; ix <= 6; ix++)
    for (let iy = -5; iy <= 5; iy++) {
      const x = ix <= 0 ? -off - w / 2 + ix * (w + gap) : card_mm[0] + off + w / 2 + (ix - 1) * (w + gap);
      const y = iy <= 0 ? -off - h / 2 + iy * (h + gap) : card_mm[1] + off + h / 2 + (iy - 1) * (h + gap);
      if (sides.includes('right') && ix > 0) slots.push([x, card_mm[1] / 2 + (iy - 0.5) * (h + gap)]);
      if (sides.includes('left') && ix <= 0) slots.push([x, card_mm[1] / 2 + (iy - 0.5) * (h + gap)]);
      if (sides.includes('below') && iy > 0) slots.push([card_mm[0] / 2 + ix * (w + gap), y]);
      if (sides.includes('above') && iy <= 0) slots.push([card_mm[0] / 2 + ix * (w + gap), y]);
    }
  slots.sort((a, b) => distance(a, card_mm) - distance(b, card_mm));
  const taken: PlaceMm[] = [];
  for (const slot of slots) {
    if (taken.length === count) break;
    if (distance(slot, card_mm) > 250) continue;
    const clash = taken.some(([x, y]) => Math.abs(x - slot[0]) < w + 5 && Math.abs(y - slot[1]) < h + 5);
    if (!clash) taken.push(slot);
  }
  const panels = taken.map(
    (centre_mm): Placed => ({
      centre_mm: [centre_mm[0] + random.normal(0, 1.2), centre_mm[1] + random.normal(0, 1.2)],
      size_mm: [w, h],
      turn_deg: random.normal(0, 1),
    }),
  );
  return { panels, strips: strips_mm.map((size, i) => placeStrip(size, i, panels, random)) };
}

const SIDES: readonly (readonly ('right' | 'left' | 'below' | 'above')[])[] = [
  ['right', 'below'],
  ['right', 'left'],
  ['left', 'below'],
  ['right', 'below', 'left'],
  ['above', 'below'],
];

/** Distance of a point from the card's rectangle, mm. */
function distance([x, y]: PlaceMm, [w, h]: PlaceMm): number {
  return Math.hypot(Math.max(0, -x, x - w), Math.max(0, -y, y - h));
}

/** Strips lie along the outer edges of the panels: the first on the far side in x, the second in y. */
function placeStrip(size_mm: PlaceMm, index: number, panels: readonly Placed[], random: SceneRandom): Placed {
  const xs = panels.map((p) => p.centre_mm[0]);
  const ys = panels.map((p) => p.centre_mm[1]);
  const [w, h] = panels[0].size_mm;
  const midX = (Math.min(...xs) + Math.max(...xs)) / 2;
  const midY = (Math.min(...ys) + Math.max(...ys)) / 2;
  const long = size_mm[0] >= size_mm[1];
  if (index % 2 === 0) {
    const right = Math.max(...xs) - 74 > 74 - Math.min(...xs);
    const x = right
      ? Math.max(...xs) + w / 2 + 8 + Math.min(...size_mm) / 2
      : Math.min(...xs) - w / 2 - 8 - Math.min(...size_mm) / 2;
    return { centre_mm: [x, midY], size_mm, turn_deg: (long ? 90 : 0) + random.normal(0, 1) };
  }
  const y = Math.max(105, Math.max(...ys) + h / 2) + 8 + Math.min(...size_mm) / 2;
  return { centre_mm: [midX, y], size_mm, turn_deg: (long ? 0 : 90) + random.normal(0, 1) };
}
