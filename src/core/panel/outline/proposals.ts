/** Outlines that may be a panel's, each with how well it explains the network's maps. */
import type { CardPlace } from '../../card/types.ts';
import { quadInsidePhoto, shortestSide } from '../../photo/polygon.ts';
import type { PointPx, QuadPx, Raster } from '../../photo/types.ts';
import type { PlacedPanel } from '../check.ts';
import { fromTopLeft } from '../find/order.ts';
import { grown } from '../find/outline.ts';
import { isPanelShaped, LARGEST_SHARE, SMALLEST_SHARE } from '../find/shape.ts';
import { layOnEdges } from './edges.ts';
import { squareWithin } from './inscribed.ts';
import type { Instance } from './instances.ts';
import { layOnRidges } from './map-edges.ts';
import type { PanelMaps } from './maps.ts';
import { partQuads } from './part-quads.ts';
import { explains } from './score.ts';

/** A panel with its outline. Shapes that are no quadrilateral are read in a square that fits inside. */
export interface OutlinedPanel extends PlacedPanel {
  readonly shape: Instance['fit']['kind'];
  /** The whole of it, px: a quadrilateral's corners, points on an ellipse, or a convex outline. */
  readonly outline_px: readonly PointPx[];
  /** How well it explains the network's maps, 0–1. */
  readonly confidence: number;
}

/** An outline that may be a panel's. */
export type Proposal = Omit<OutlinedPanel, 'id' | 'corners_px'> & { readonly quad: QuadPx };

/** What is looked at. */
export interface Seen {
  readonly raster: Raster;
  readonly maps: PanelMaps;
  readonly cards: readonly CardPlace[];
  /** Photo pixels of a map pixel, across and down. */
  readonly scale: PointPx;
}

/** How far, in map pixels, an outline in the maps may be from the photo's edge. */
const REACH = 1;
/** Map pixels by which a quadrilateral about a set of pixels is too large. */
const DRAWN_OUT = 0.7;
/** A proposal that explains the maps less well than this is none. */
export const LEAST_CONFIDENCE = 0.38;
const WORTH_LAYING = 0.8;
/** Reach in map pixels when a chosen panel is laid on the photo's edges, and how well it must go on explaining the maps. */
const FINE_REACH = 0.8;
const AGREES = 0.9;
/** Side of the smallest square that a panel's colour is read in. */
const SMALLEST_SQUARE_PX = 24;
/** Other shapes than quadrilaterals have no sides whose edges could be counted. */
const OTHER_SHAPES_SCORE = 0.62;

/** What one instance's pixels may be the outline of. */
export function proposed(seen: Seen, { fit, confidence, pixels }: Instance): Proposal[] {
  const { raster, maps, scale } = seen;
  const share = pixels.length / (maps.width * maps.height);
  if (share < SMALLEST_SHARE || share > LARGEST_SHARE) return [];
  if (fit.kind === 'quad')
    return (
      [...fit.quads, ...partQuads(maps, fit.quads[0])]
        .map((quad) => grown(quad, -DRAWN_OUT) ?? quad)
        .map((quad) => layOnRidges(maps, quad))
        .flatMap((quad) => asQuad(seen, scaled(quad, scale) as unknown as QuadPx))
        // laying costs the most by far: only what may be a panel is laid
        .filter((rough) => rough.confidence >= WORTH_LAYING * LEAST_CONFIDENCE)
        .flatMap((rough) => {
          const laid = layOnEdges(raster, rough.quad, REACH * Math.max(...scale))?.quad;
          return laid ? [rough, ...asQuad(seen, laid)] : [rough];
        })
    );
  const worth =
    fit.kind === 'ellipse'
      ? confidence * fit.goodness
      : confidence * Math.min(fit.goodness, OTHER_SHAPES_SCORE);
  return asOtherShape(seen, pixels, fit.kind, scaled(fit.outline, scale), worth);
}

/** A lid or another shape, read in a square where its pixels leave most room; none when there is too little. */
export function asOtherShape(
  { raster, maps, scale }: Seen,
  pixels: Int32Array,
  shape: Proposal['shape'],
  outline_px: readonly PointPx[],
  confidence: number,
): Proposal[] {
  const square = squareWithin(pixels, maps.width);
  const quad = square && (scaled(square, scale) as unknown as QuadPx);
  // a lid's hidden half leaves little room, but it is no smaller for that
  if (!quad || !quadInsidePhoto(raster, quad) || shortestSide(quad) < SMALLEST_SQUARE_PX) return [];
  return [{ quad, shape, outline_px, confidence }];
}

/** A quadrilateral and how well it explains the maps; none when no panel looks like it. */
export function asQuad({ raster, maps, scale: [sx, sy] }: Seen, corners: QuadPx): Proposal[] {
  if (!isPanelShaped(raster, corners)) return [];
  const quad = fromTopLeft(corners);
  const confidence = explains(maps, scaled(quad, [1 / sx, 1 / sy]) as unknown as QuadPx);
  return [{ quad, shape: 'quad', outline_px: quad, confidence }];
}

/** Laid on the full-size photo's edges nearby, where that agrees with the maps. */
export function laidFinely(seen: Seen, panel: Proposal): Proposal {
  if (panel.shape !== 'quad') return panel;
  const laid = layOnEdges(seen.raster, panel.quad, FINE_REACH * Math.max(...seen.scale))?.quad;
  const finer = laid && asQuad(seen, laid)[0];
  return finer && finer.confidence >= AGREES * panel.confidence ? finer : panel;
}

function scaled(points: readonly PointPx[], [sx, sy]: PointPx): PointPx[] {
  return points.map(([x, y]): PointPx => [x * sx, y * sy]);
}
