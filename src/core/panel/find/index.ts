import type { CardOutline } from '../../card/types.ts';
import { eachPixelRow, isConvexQuad, quadArea, sharedArea } from '../../photo/polygon.ts';
import { medianOf } from '../../photo/sample-tiles.ts';
import type { PointPx, QuadPx, Raster } from '../../photo/types.ts';
import type { PlacedPanel } from '../check.ts';
import { flood, type Region, WALL } from './flood.ts';
import { fromTopLeft, inReadingOrder, panelName } from './order.ts';
import { ellipseRatio, grown, outlineOf } from './outline.ts';
import { dilate, gradientOf, type ReducedPhoto, reducePhoto, smooth } from './reduce.ts';
import { refineQuad } from './refine.ts';
import {
  EVEN_SHARE,
  evenShare,
  isPanelShaped,
  LARGEST_SHARE,
  onACard,
  SMALLEST_SHARE,
  toPhoto,
} from './shape.ts';

/** Gradients up to which regions are flooded, root steps per reduced pixel, each a third above the last. */
const LEVELS: readonly number[] = Array.from({ length: 13 }, (_, i) => 0.35 * 1.35 ** i);
/** Pixels of the reduced photo by which smoothing and the wide gradient draw a region's outline in. */
const DRAWN_IN = 2;
/** How far about the outline the edge is looked for at first, reduced pixels: farther off lie shadows. */
const REACH = 2;
/** How far about a side once laid on its edge that edge is looked for again, pixels of the photo it was found in. */
const REACH_AGAIN_PX = 2.5;
const LEAST_SOLIDITY = 0.85;
/** Hull over quadrilateral: rounded corners and a clipped one are allowed, other shapes are not. */
const LEAST_QUADNESS = 0.9;
/** The same for a panel of which glare at the edge cut off a corner. */
const LEAST_CUT_QUADNESS = 0.72;
/** Share of a side that must be carried by an edge, at least and on average. */
const LEAST_SUPPORT = 0.35;
const MEAN_SUPPORT = 0.6;

/** A piece of bench between two panels: less than half a usual panel, and two of its sides far fainter than the others. */
const SMALL_TO_USUAL = 0.5;
const FAINT_TO_STRONG = 0.35;

/** A candidate this good is not looked at again when a region of other flatness shares this much with it. */
const GOOD_SCORE = 0.6;
const SAME_SHARE = 0.88;

/** A panel as found. */
export interface FoundPanel extends PlacedPanel {
  /** Whether its sides lie on edges of the photo; those of a square inside a disc do not. */
  readonly onEdges: boolean;
}

interface Candidate {
  readonly quad: QuadPx;
  /** What it takes up: itself, or the whole of the disc it is read from. */
  readonly ground: QuadPx;
  readonly score: number;
  readonly onEdges: boolean;
  /** Step of colour across its faintest side over that across its strongest. */
  readonly faintness: number;
}

/**
 * Finds panels: flat quadrilaterals off the cards, set off from what lies around them, and flat discs (a lid), of
 * which the square that fits in the middle is given. Named A, B, … in reading order. Nothing found: an empty list.
 */
export function findPanels(raster: Raster, cards: readonly CardOutline[]): FoundPanel[] {
  if (raster.width_px < 32 || raster.height_px < 32) return [];
  const reduced = reducePhoto(raster);
  smooth(reduced);
  const { width, height } = reduced;
  if (width < 16 || height < 16) return [];
  const gradient = dilate(gradientOf(reduced), width, height);
  wallOff(gradient, reduced, cards);
  const regions = flood(gradient, width, height, {
    levels: LEVELS,
    fewest: 0.6 * SMALLEST_SHARE * width * height,
    most: LARGEST_SHARE * width * height,
  });
  const candidates: Candidate[] = [];
  for (const region of regions) candidates.push(...candidatesOf(raster, reduced, cards, region, candidates));
  const chosen = withoutBenchPieces(withoutOverlaps(candidates));
  return inReadingOrder(chosen).map(({ quad, onEdges }, i) => ({
    id: panelName(i),
    corners_px: onEdges ? laidAgain(raster, quad, Math.max(REACH_AGAIN_PX, reduced.factor)) : quad,
    onEdges,
  }));
}

/** Laid on its edges once more, from nearby, so that nothing farther off weighs in. */
function laidAgain(raster: Raster, quad: QuadPx, reach_px: number): QuadPx {
  const again = refineQuad(raster, quad, reach_px)?.quad;
  return again && isPanelShaped(raster, again) ? again : quad;
}

/** Cards and the photo's rim are no ground to flood. */
function wallOff(gradient: Float32Array, reduced: ReducedPhoto, cards: readonly CardOutline[]): void {
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

function candidatesOf(
  raster: Raster,
  reduced: ReducedPhoto,
  cards: readonly CardOutline[],
  region: Region,
  known: readonly Candidate[],
): Candidate[] {
  const { quads, hullArea, solidity } = outlineOf(region);
  if (solidity < LEAST_SOLIDITY) return [];
  const disc = discOf(raster, reduced, cards, region, solidity, known);
  if (disc) return [disc];
  return quads
    .filter((quad, i) => hullArea / quadArea(quad) >= (i === 0 ? LEAST_QUADNESS : LEAST_CUT_QUADNESS))
    .map((quad) => grown(quad, DRAWN_IN))
    .filter((quad) => quad !== undefined)
    .map((quad) => toPhoto(quad, reduced.factor))
    .filter((rough) => !known.some((other) => isSameAgain(rough, other)))
    .map((rough) => quadCandidate(raster, reduced, cards, rough))
    .filter((candidate) => candidate !== undefined);
}

function quadCandidate(
  raster: Raster,
  reduced: ReducedPhoto,
  cards: readonly CardOutline[],
  rough: QuadPx,
): Candidate | undefined {
  const refined = refineQuad(raster, rough, REACH * reduced.factor);
  if (!refined || !isPanelShaped(raster, refined.quad) || onACard(refined.quad, cards)) return undefined;
  const mean = refined.support.reduce((a, b) => a + b, 0) / 4;
  const least = Math.min(...refined.support);
  if (mean < MEAN_SUPPORT || least < LEAST_SUPPORT) return undefined;
  const even = evenShare(reduced, refined.quad);
  if (even < EVEN_SHARE) return undefined;
  return {
    quad: fromTopLeft(refined.quad),
    ground: refined.quad,
    score: least * mean * even,
    onEdges: true,
    faintness: Math.min(...refined.step) / Math.max(...refined.step),
  };
}

/** True when an outline is a panel seen again at another level, of which the first look was good. */
function isSameAgain(rough: QuadPx, { quad, score }: Candidate): boolean {
  if (score < GOOD_SCORE) return false;
  return sharedArea(rough, quad) > SAME_SHARE * Math.max(quadArea(rough), quadArea(quad));
}

/** Half the side of a square in a disc's middle, and of a smaller one beside it, over the disc's radius. */
const MIDDLE_SQUARE = 0.58;
const SIDE_SQUARE = 0.28;
const SIDE_PLACE = 0.58;
/** A middle this even has no knob in it. */
const EVEN_MIDDLE = 0.95;

/**
 * A square within a flat disc (a lid, a cap): in its middle, or beside it, where it is most even, when something
 * (a knob) sits there. Undefined when the region is no disc.
 */
function discOf(
  raster: Raster,
  reduced: ReducedPhoto,
  cards: readonly CardOutline[],
  region: Region,
  solidity: number,
  known: readonly Candidate[],
): Candidate | undefined {
  const { ratio, centre, radii } = ellipseRatio(region);
  if (Math.abs(ratio - 1) > 0.012 || solidity < 0.95 || radii[0] > 2.5 * radii[1]) return undefined;
  if (region.area < 2 * SMALLEST_SHARE * reduced.width * reduced.height) return undefined;
  const square = (dx: number, dy: number, half: number): QuadPx => {
    const x = centre[0] + dx * radii[1];
    const y = centre[1] + dy * radii[1];
    const h = half * radii[1];
    const corners: QuadPx = [
      [x - h, y - h],
      [x + h, y - h],
      [x + h, y + h],
      [x - h, y + h],
    ];
    return toPhoto(corners, reduced.factor);
  };
  const ground = square(0, 0, 0.9);
  if (known.some((other) => sharedArea(ground, other.ground) > SAME_SHARE * quadArea(ground)))
    return undefined;
  let quad = square(0, 0, MIDDLE_SQUARE);
  let even = evenShare(reduced, quad);
  if (even < EVEN_MIDDLE)
    for (let k = 0; k < 8; k++) {
      const angle = (k * Math.PI) / 4;
      const beside = square(SIDE_PLACE * Math.cos(angle), SIDE_PLACE * Math.sin(angle), SIDE_SQUARE);
      const evenHere = evenShare(reduced, beside);
      if (evenHere > even) {
        quad = beside;
        even = evenHere;
      }
    }
  if (even < EVEN_SHARE || onACard(quad, cards) || !isPanelShaped(raster, quad)) return undefined;
  return { quad, ground, score: 0.5 * even, onEdges: false, faintness: 1 };
}

/** The best candidates that don't share ground: the same panel is seen at many levels. */
function withoutOverlaps(candidates: readonly Candidate[]): Candidate[] {
  const chosen: Candidate[] = [];
  for (const candidate of [...candidates].sort((a, b) => b.score - a.score)) {
    const area = quadArea(candidate.ground);
    const free = chosen.every(
      ({ ground }) => sharedArea(candidate.ground, ground) < 0.1 * Math.min(area, quadArea(ground)),
    );
    if (free) chosen.push(candidate);
  }
  return chosen;
}

function withoutBenchPieces(chosen: readonly Candidate[]): Candidate[] {
  const clear = chosen.filter(({ faintness }) => faintness >= FAINT_TO_STRONG);
  const usual = medianOf(clear.map(({ quad }) => quadArea(quad)));
  return chosen.filter(
    ({ quad, faintness }) => faintness >= FAINT_TO_STRONG || quadArea(quad) >= SMALL_TO_USUAL * usual,
  );
}
