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
import type { PlacedPanel } from '../check.ts';
import { flood, type Region, WALL } from './flood.ts';
import { fromTopLeft, inReadingOrder, panelName } from './order.ts';
import { ellipseRatio, grown, outlineOf } from './outline.ts';
import { dilate, gradientOf, type ReducedPhoto, reducePhoto, smooth } from './reduce.ts';
import { refineQuad } from './refine.ts';

/** Gradients up to which regions are flooded, root steps per reduced pixel, each a third above the last. */
const LEVELS: readonly number[] = Array.from({ length: 13 }, (_, i) => 0.35 * 1.35 ** i);
/** A panel's share of the photo. */
const SMALLEST_SHARE = 0.002;
const LARGEST_SHARE = 0.6;
/** Pixels of the reduced photo by which smoothing and the wide gradient draw a region's outline in. */
const DRAWN_IN = 2;
/** How far about the outline the edge is looked for, reduced pixels. */
const REACH = 3.5;
const SHORTEST_SIDE_PX = 24;
const LONGEST_TO_SHORTEST = 8;
/** Scatter of colour inside one panel, root steps, its own fall-off included. */
const MOST_SCATTER = 9;
const LEAST_SOLIDITY = 0.85;
/** Hull over quadrilateral: rounded corners and a clipped one are allowed, other shapes are not. */
const LEAST_QUADNESS = 0.9;
/** Share of a side that must be carried by an edge, at least and on average. */
const LEAST_SUPPORT = 0.35;
const MEAN_SUPPORT = 0.6;

interface Candidate {
  readonly quad: QuadPx;
  readonly score: number;
}

/**
 * Finds panels: flat quadrilaterals off the cards, set off from what lies around them, and flat discs (a lid), of
 * which the square that fits in the middle is given. Named A, B, … in reading order. Nothing found: an empty list.
 */
export function findPanels(raster: Raster, cards: readonly PlacedCard[]): PlacedPanel[] {
  if (raster.width_px < 32 || raster.height_px < 32) return [];
  const reduced = reducePhoto(raster);
  smooth(reduced);
  const { width, height } = reduced;
  if (width < 16 || height < 16) return [];
  const gradient = dilate(gradientOf(reduced), width, height);
  wallOff(gradient, reduced, cards);
  const regions = flood(gradient, reduced.root, width, height, {
    levels: LEVELS,
    fewest: 0.6 * SMALLEST_SHARE * width * height,
    most: LARGEST_SHARE * width * height,
  });
  const candidates = regions
    .map((region) => candidateOf(raster, reduced, cards, region))
    .filter((candidate) => candidate !== undefined);
  const chosen = withoutOverlaps(candidates);
  return inReadingOrder(chosen).map((corners_px, i) => ({ id: panelName(i), corners_px }));
}

/** Cards and the photo's rim are no ground to flood. */
function wallOff(gradient: Float32Array, reduced: ReducedPhoto, cards: readonly PlacedCard[]): void {
  const { width, height, factor } = reduced;
  for (const { corners_px } of cards) {
    if (!isConvexQuad(corners_px)) continue;
    const small = corners_px.map(([x, y]): PointPx => [x / factor, y / factor]) as unknown as QuadPx;
    eachPixelRow({ width_px: width, height_px: height }, grown(small, 1) ?? small, 1, (y, from, to) => {
      gradient.fill(WALL, y * width + from, y * width + to);
    });
  }
  gradient.fill(WALL, 0, width);
  gradient.fill(WALL, (height - 1) * width);
  for (let y = 0; y < height; y++) {
    gradient[y * width] = WALL;
    gradient[y * width + width - 1] = WALL;
  }
}

function candidateOf(
  raster: Raster,
  reduced: ReducedPhoto,
  cards: readonly PlacedCard[],
  region: Region,
): Candidate | undefined {
  if (region.scatter > MOST_SCATTER || touchesRim(region, reduced)) return undefined;
  const { quad, hullArea, solidity } = outlineOf(region);
  if (solidity < LEAST_SOLIDITY) return undefined;
  const quadness = quad ? hullArea / quadArea(quad) : 0;
  const rough = quad && quadness >= LEAST_QUADNESS ? grown(quad, DRAWN_IN) : undefined;
  if (!rough) return discOf(raster, reduced, cards, region);
  const refined = refineQuad(raster, toPhoto(rough, reduced.factor), REACH * reduced.factor);
  if (!refined || !isPanelShaped(raster, refined.quad) || onACard(refined.quad, cards)) return undefined;
  const mean = refined.support.reduce((a, b) => a + b, 0) / 4;
  if (mean < MEAN_SUPPORT || Math.min(...refined.support) < LEAST_SUPPORT) return undefined;
  return { quad: fromTopLeft(refined.quad), score: quadness * solidity * mean };
}

function toPhoto(quad: QuadPx, factor: number): QuadPx {
  return quad.map(([x, y]): PointPx => [x * factor, y * factor]) as unknown as QuadPx;
}

function touchesRim({ top, left, right }: Region, { width, height }: ReducedPhoto): boolean {
  if (top <= 2 || top + left.length >= height - 2) return true;
  return left.some((x, r) => x >= 0 && (x <= 2 || right[r] >= width - 3));
}

function isPanelShaped(raster: Raster, quad: QuadPx): boolean {
  if (!isConvexQuad(quad) || !quadInsidePhoto(raster, quad)) return false;
  const share = quadArea(quad) / (raster.width_px * raster.height_px);
  if (share < SMALLEST_SHARE || share > LARGEST_SHARE) return false;
  const shortest = shortestSide(quad);
  const longest = Math.max(
    ...quad.map(([x, y], i) => Math.hypot(quad[(i + 1) % 4][0] - x, quad[(i + 1) % 4][1] - y)),
  );
  if (shortest < SHORTEST_SIDE_PX || longest > LONGEST_TO_SHORTEST * shortest) return false;
  return quad.every((p, i) => {
    const before = quad[(i + 3) % 4];
    const after = quad[(i + 1) % 4];
    const angle = Math.abs(
      Math.atan2(before[1] - p[1], before[0] - p[0]) - Math.atan2(after[1] - p[1], after[0] - p[0]),
    );
    const degrees = (Math.min(angle, 2 * Math.PI - angle) * 180) / Math.PI;
    return degrees > 45 && degrees < 135;
  });
}

function onACard(quad: QuadPx, cards: readonly PlacedCard[]): boolean {
  return cards.some(
    ({ corners_px }) => isConvexQuad(corners_px) && sharedArea(quad, corners_px) > 0.005 * quadArea(quad),
  );
}

/** The square within a flat disc, for a lid or a cap; undefined when the region is no disc. */
function discOf(
  raster: Raster,
  reduced: ReducedPhoto,
  cards: readonly PlacedCard[],
  region: Region,
): Candidate | undefined {
  const { ratio, centre, radii } = ellipseRatio(region);
  const { solidity } = outlineOf(region);
  if (Math.abs(ratio - 1) > 0.012 || solidity < 0.95 || radii[0] > 2.5 * radii[1]) return undefined;
  if (region.area < 2 * SMALLEST_SHARE * reduced.width * reduced.height) return undefined;
  const side = 0.6 * radii[1];
  const [x, y] = centre;
  const small: QuadPx = [
    [x - side, y - side],
    [x + side, y - side],
    [x + side, y + side],
    [x - side, y + side],
  ];
  const quad = toPhoto(small, reduced.factor);
  if (onACard(quad, cards) || !isPanelShaped(raster, quad)) return undefined;
  return { quad, score: 0.6 * solidity };
}

/** The best candidates that don't share ground: the same panel is seen at many levels. */
function withoutOverlaps(candidates: readonly Candidate[]): QuadPx[] {
  const chosen: QuadPx[] = [];
  for (const { quad } of [...candidates].sort((a, b) => b.score - a.score)) {
    const area = quadArea(quad);
    if (chosen.every((other) => sharedArea(quad, other) < 0.1 * Math.min(area, quadArea(other))))
      chosen.push(quad);
  }
  return chosen;
}
