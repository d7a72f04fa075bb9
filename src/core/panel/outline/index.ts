/** Finds panels by the network's maps: the maps say what is a panel, the full-size photo where its edges lie. */
import type { PlacedCard } from '../../card/types.ts';
import {
  eachPixelRow,
  isConvexQuad,
  quadArea,
  quadInsidePhoto,
  sharedArea,
  shortestSide,
} from '../../photo/polygon.ts';
import type { PointPx, QuadPx, Raster } from '../../photo/types.ts';
import type { FoundPanel } from '../find/index.ts';
import { fromTopLeft, inReadingOrder, panelName } from '../find/order.ts';
import { grown } from '../find/outline.ts';
import { isPanelShaped, LARGEST_SHARE, onACard, SMALLEST_SHARE } from '../find/shape.ts';
import { layOnEdges } from './edges.ts';
import { squareWithin } from './inscribed.ts';
import { type Instance, instancesOf } from './instances.ts';
import { commonSizes, hasSize, rectanglesAt } from './like-sized.ts';
import { commonRadius, discAmong, hasRadius } from './like-sized-discs.ts';
import { layOnRidges } from './map-edges.ts';
import type { PanelMaps } from './maps.ts';
import { partQuads } from './part-quads.ts';
import { explains } from './score.ts';

export { layOnEdges } from './edges.ts';
export { type Instance, instancesOf } from './instances.ts';
export { type FinderPicture, type PanelMaps, pictureForFinder, type Segment } from './maps.ts';
export { keepNames } from './names.ts';
export { spoiltBy } from './spoilt.ts';

/** A panel with its outline. Shapes that are no quadrilateral are read in a square that fits inside. */
export interface OutlinedPanel extends FoundPanel {
  readonly shape: Instance['fit']['kind'];
  /** The whole of it, px: a quadrilateral's corners, points on an ellipse, or a convex outline. */
  readonly outline_px: readonly PointPx[];
  /** How well it explains the network's maps, 0–1. */
  readonly confidence: number;
}

/** How far, in map pixels, an outline in the maps may be from the photo's edge. */
const REACH = 1;
/** Map pixels by which a quadrilateral about a set of pixels is too large. */
const DRAWN_OUT = 0.7;
/** A proposal that explains the maps less well than this is none. */
const LEAST_CONFIDENCE = 0.38;
const WORTH_LAYING = 0.8;
/** Reach in map pixels when a chosen panel is laid on the photo's edges, and how well it must go on explaining the maps. */
const FINE_REACH = 0.8;
const AGREES = 0.9;
/** Two panels share at most this part of the smaller. */
const MOST_SHARED = 0.12;
/** This many of a panel's map pixels on the maps' rim, and the photo cuts it off. */
const ON_RIM = 3;

/**
 * Panels off the cards and wholly in the photo, named A, B, … in reading order. Every panel is proposed more than once:
 * by the maps and by the plain finder, and the proposals that explain the maps best are kept.
 *
 * @param plain what the plain finder (`findPanels`) has found in the same photo
 */
export function outlinePanels(
  raster: Raster,
  cards: readonly PlacedCard[],
  maps: PanelMaps,
  plain: readonly FoundPanel[] = [],
): OutlinedPanel[] {
  const scale: PointPx = [raster.width_px / maps.width, raster.height_px / maps.height];
  const instances = instancesOf(maps, cardPixels(maps, cards, scale)).filter((i) => !isCutOff(i, maps));
  const proposals = [
    ...instances.flatMap((instance) => proposed(raster, maps, instance, scale)),
    ...plain.filter((p) => p.onEdges).flatMap(({ corners_px }) => asQuad(raster, maps, corners_px, scale)),
  ].filter(({ quad, confidence }) => confidence >= LEAST_CONFIDENCE && !onACard(quad, cards));
  const chosen = withoutOverlaps(proposals);
  const sized = likeTheOthers({ raster, maps, cards, scale }, instances, proposals, chosen);
  const laid = (sized ?? chosen).map((panel) => laidFinely(raster, maps, panel, scale));
  return inReadingOrder(laid).map(({ quad, ...panel }, i) => ({
    ...panel,
    id: panelName(i),
    corners_px: quad,
  }));
}

/** What is looked at. */
interface Seen {
  readonly raster: Raster;
  readonly maps: PanelMaps;
  readonly cards: readonly PlacedCard[];
  /** Photo pixels of a map pixel, across and down. */
  readonly scale: PointPx;
}

type Unnamed = Omit<OutlinedPanel, 'id' | 'corners_px'> & { readonly quad: QuadPx };

/** Side of the smallest square that a panel's colour is read in. */
const SMALLEST_SQUARE_PX = 24;
/** Other shapes than quadrilaterals have no sides whose edges could be counted. */
const OTHER_SHAPES_SCORE = 0.62;

function proposed(
  raster: Raster,
  maps: PanelMaps,
  { fit, confidence, pixels }: Instance,
  scale: PointPx,
): Unnamed[] {
  const share = pixels.length / (maps.width * maps.height);
  if (share < SMALLEST_SHARE || share > LARGEST_SHARE) return [];
  if (fit.kind === 'quad')
    return (
      [...fit.quads, ...partQuads(maps, fit.quads[0])]
        .map((quad) => grown(quad, -DRAWN_OUT) ?? quad)
        .map((quad) => layOnRidges(maps, quad))
        .flatMap((quad) => asQuad(raster, maps, scaled(quad, scale) as unknown as QuadPx, scale))
        // laying costs the most by far: only what may be a panel is laid
        .filter((rough) => rough.confidence >= WORTH_LAYING * LEAST_CONFIDENCE)
        .flatMap((rough) => {
          const laid = layOnEdges(raster, rough.quad, REACH * Math.max(...scale))?.quad;
          return laid ? [rough, ...asQuad(raster, maps, laid, scale)] : [rough];
        })
    );
  const worth =
    fit.kind === 'ellipse'
      ? confidence * fit.goodness
      : confidence * Math.min(fit.goodness, OTHER_SHAPES_SCORE);
  return asOtherShape(raster, maps, pixels, fit.kind, scaled(fit.outline, scale), worth, scale);
}

function asOtherShape(
  raster: Raster,
  maps: PanelMaps,
  pixels: Int32Array,
  shape: Unnamed['shape'],
  outline_px: readonly PointPx[],
  confidence: number,
  scale: PointPx,
): Unnamed[] {
  const square = squareWithin(pixels, maps.width);
  const quad = square && (scaled(square, scale) as unknown as QuadPx);
  // a lid's hidden half leaves little room, but it is no smaller for that
  if (!quad || !quadInsidePhoto(raster, quad) || shortestSide(quad) < SMALLEST_SQUARE_PX) return [];
  return [{ quad, shape, outline_px, onEdges: false, confidence }];
}

function asQuad(raster: Raster, maps: PanelMaps, corners: QuadPx, [sx, sy]: PointPx): Unnamed[] {
  if (!isPanelShaped(raster, corners)) return [];
  const quad = fromTopLeft(corners);
  const confidence = explains(maps, scaled(quad, [1 / sx, 1 / sy]) as unknown as QuadPx);
  return [{ quad, shape: 'quad', outline_px: quad, onEdges: true, confidence }];
}

/** The best of the proposals that share ground; one that others make up between them gives way to those. */
function withoutOverlaps(proposals: readonly Unnamed[]): Unnamed[] {
  const best = [...proposals].sort((a, b) => b.confidence - a.confidence);
  const chosen: Unnamed[] = [];
  for (const one of best) {
    const area = quadArea(one.quad);
    const isFree = chosen.every(
      ({ quad }) => sharedArea(quad, one.quad) < MOST_SHARED * Math.min(area, quadArea(quad)),
    );
    if (isFree && !isMadeUpOf(one, area, best)) chosen.push(one);
  }
  return chosen;
}

/** Parts cover this much of the whole between them, and are nearly as good: a row of panels taken for one. */
const PARTS_COVER = 0.8;
const PARTS_WORTH = 0.55;

function isMadeUpOf(one: Unnamed, area: number, best: readonly Unnamed[]): boolean {
  const parts: Unnamed[] = [];
  let covered = 0;
  let worth = 0;
  for (const part of best) {
    const own = quadArea(part.quad);
    if (own > 0.75 * area || own < 0.1 * area) continue;
    if (sharedArea(part.quad, one.quad) < 0.88 * own) continue;
    if (parts.some(({ quad }) => sharedArea(quad, part.quad) > MOST_SHARED * Math.min(own, quadArea(quad))))
      continue;
    parts.push(part);
    covered += own / area;
    worth += part.confidence;
  }
  return parts.length > 1 && covered >= PARTS_COVER && worth / parts.length >= PARTS_WORTH * one.confidence;
}

/** Panels of a size the others have not count for this much, when outlines are chosen a second time. */
const ODD_SIZE = 0.7;
const SURE = 0.55;

/**
 * The outlines chosen again, with those among the proposals that have the size of most of the first choice; undefined
 * where they have none in common.
 */
function likeTheOthers(
  { raster, maps, cards, scale }: Seen,
  instances: readonly Instance[],
  proposals: readonly Unnamed[],
  chosen: readonly Unnamed[],
): Unnamed[] | undefined {
  const card = largestOf(cards);
  if (!card) return undefined;
  const sure = chosen.filter((p) => p.confidence >= SURE);
  const [quads, others] = [sure.filter((p) => p.shape === 'quad'), sure.filter((p) => p.shape !== 'quad')];
  const sizes = commonSizes(
    quads.map((p) => p.quad),
    card,
  );
  const radius_mm = commonRadius(
    others.map((p) => p.outline_px),
    card,
  );
  if (sizes.length === 0 && radius_mm === undefined) return undefined;
  const weighed = proposals.flatMap((panel) => {
    const isUsual =
      panel.shape === 'quad'
        ? hasSize(panel.quad, sizes, card)
        : radius_mm !== undefined && hasRadius(panel.outline_px, radius_mm, card);
    if (isUsual) return [panel];
    const resized = panel.shape === 'quad' ? rectanglesAt(panel.quad, sizes, card) : [];
    return [
      { ...panel, confidence: ODD_SIZE * panel.confidence },
      ...resized.flatMap((quad) => asQuad(raster, maps, quad, scale)),
    ];
  });
  const discs = instances.flatMap((instance) => {
    if (radius_mm === undefined) return [];
    const disc = discAmong(maps, instance.pixels, radius_mm, card, scale);
    return disc
      ? asOtherShape(raster, maps, instance.pixels, 'ellipse', disc.outline_px, disc.confidence, scale)
      : [];
  });
  return withoutOverlaps([
    ...weighed.filter(
      ({ quad, confidence }) => confidence >= ODD_SIZE * LEAST_CONFIDENCE && !onACard(quad, cards),
    ),
    ...discs.filter(({ quad, confidence }) => confidence >= LEAST_CONFIDENCE && !onACard(quad, cards)),
  ]);
}

/** Laid on the full-size photo's edges nearby, where that agrees with the maps. */
function laidFinely(raster: Raster, maps: PanelMaps, panel: Unnamed, scale: PointPx): Unnamed {
  if (panel.shape !== 'quad') return panel;
  const laid = layOnEdges(raster, panel.quad, FINE_REACH * Math.max(...scale))?.quad;
  const finer = laid && asQuad(raster, maps, laid, scale)[0];
  return finer && finer.confidence >= AGREES * panel.confidence ? finer : panel;
}

function largestOf(cards: readonly PlacedCard[]): PlacedCard | undefined {
  const sound = cards.filter(({ corners_px }) => isConvexQuad(corners_px));
  return sound.sort((a, b) => quadArea(b.corners_px) - quadArea(a.corners_px))[0];
}

function scaled(points: readonly PointPx[], [sx, sy]: PointPx): PointPx[] {
  return points.map(([x, y]): PointPx => [x * sx, y * sy]);
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
function cardPixels(maps: PanelMaps, cards: readonly PlacedCard[], [sx, sy]: PointPx): Uint8Array {
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
