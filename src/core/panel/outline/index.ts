/** Finds panels by the network's maps: the maps say what is a panel, the full-size photo where its edges lie. */
import type { CardPlace } from '../../card/types.ts';
import { eachPixelRow, isConvexQuad } from '../../photo/polygon.ts';
import type { PointPx, QuadPx, Raster } from '../../photo/types.ts';
import { findPanels } from '../find/index.ts';
import { inReadingOrder, panelName } from '../find/order.ts';
import { grown } from '../find/outline.ts';
import { onACard } from '../find/shape.ts';
import { type Instance, instancesOf } from './instances.ts';
import { likeTheOthers } from './like-the-others.ts';
import type { PanelMaps } from './maps.ts';
import { withoutOverlaps } from './overlaps.ts';
import {
  asQuad,
  LEAST_CONFIDENCE,
  laidFinely,
  type OutlinedPanel,
  type Proposal,
  proposed,
  type Seen,
} from './proposals.ts';

export { layOnEdges } from './edges.ts';
export { type Instance, instancesOf } from './instances.ts';
export type { FinderPicture, PanelMaps, Segment } from './maps.ts';
export { keepNames } from './names.ts';
export { pictureForFinder } from './picture.ts';
export type { OutlinedPanel } from './proposals.ts';
export { spoiltBy } from './spoilt.ts';

/** This many of a panel's map pixels on the maps' rim, and the photo cuts it off. */
const ON_RIM = 3;

/** A panel that explains the maps less well than this may be drawn wrong (chosen on rendered benches). */
const SURE = 0.6;

/**
 * Panels off the cards and wholly in the photo, named A, B, … in reading order. Every panel is proposed more than once,
 * and the proposals that explain the maps best are kept. Where that leaves a panel unsure, as on a bench of its own
 * colour, the plain finder makes proposals too: it would take longer than all the rest, and changes nothing elsewhere.
 */
export function outlinePanels(raster: Raster, cards: readonly CardPlace[], maps: PanelMaps): OutlinedPanel[] {
  const scale: PointPx = [raster.width_px / maps.width, raster.height_px / maps.height];
  const seen: Seen = { raster, maps, cards, scale };
  const instances = instancesOf(maps, cardPixels(maps, cards, scale)).filter((i) => !isCutOff(i, maps));
  const byMaps = instances.flatMap((instance) => proposed(seen, instance));
  const first = chosenOf(seen, instances, byMaps);
  const chosen = first.every(({ confidence }) => confidence >= SURE)
    ? first
    : chosenOf(seen, instances, [...byMaps, ...byPlainFinder(seen)]);
  const laid = chosen.map((panel) => laidFinely(seen, panel));
  return inReadingOrder(laid).map(({ quad, ...panel }, i) => ({
    ...panel,
    id: panelName(i),
    corners_px: quad,
  }));
}

function byPlainFinder(seen: Seen): Proposal[] {
  return findPanels(seen.raster, seen.cards)
    .filter((panel) => panel.onEdges)
    .flatMap(({ corners_px }) => asQuad(seen, corners_px));
}

function chosenOf(seen: Seen, instances: readonly Instance[], proposed: readonly Proposal[]): Proposal[] {
  const proposals = proposed.filter(
    ({ quad, confidence }) => confidence >= LEAST_CONFIDENCE && !onACard(quad, seen.cards),
  );
  const chosen = withoutOverlaps(proposals);
  return likeTheOthers(seen, instances, proposals, chosen) ?? chosen;
}

function isCutOff({ pixels }: Instance, { width, height }: PanelMaps): boolean {
  let onRim = 0;
  for (const at of pixels) {
    const x = at % width;
    if (x === 0 || x === width - 1 || at < width || at >= width * (height - 1)) onRim++;
  }
  return onRim >= ON_RIM;
}

/** Map pixels on a card found by its markers: 1 there. */
function cardPixels(maps: PanelMaps, cards: readonly CardPlace[], [sx, sy]: PointPx): Uint8Array {
  const barred = new Uint8Array(maps.width * maps.height);
  for (const { corners_px } of cards) {
    if (!isConvexQuad(corners_px)) continue;
    const small = corners_px.map(([x, y]): PointPx => [x / sx, y / sy]) as unknown as QuadPx;
    const frame = { width_px: maps.width, height_px: maps.height };
    eachPixelRow(frame, grown(small, 0.5) ?? small, 1, (y, from, to) => {
      barred.fill(1, y * maps.width + from, y * maps.width + to);
    });
  }
  return barred;
}
