/** What a set of map pixels is shaped like: a quadrilateral, an ellipse, or neither. Map pixels throughout. */
import { quadArea } from '../../photo/polygon.ts';
import type { PointPx, QuadPx } from '../../photo/types.ts';
import type { Region } from '../find/flood.ts';
import { ellipseRatio, outlineOf } from '../find/outline.ts';

export interface Fit {
  readonly kind: 'quad' | 'ellipse' | 'other';
  /** For a quadrilateral: the tightest around the pixels, then others, for which a corner has to be thought added. */
  readonly quads: readonly QuadPx[];
  /** Convex outline; an ellipse's own for an ellipse. */
  readonly outline: readonly PointPx[];
  /** About what share of the shape and the pixels is common to both, 0–1. */
  readonly goodness: number;
}

/** Ellipse over hull area of an ellipse is 1 (1.047 for a rectangle); limits of what is taken for one. */
const ELLIPSE_SLACK = 0.02;
/** Hull over surrounding quadrilateral: rounded corners and one cut off are allowed. An ellipse has .785. */
const LEAST_QUADNESS = 0.845;
const LEAST_CUT_QUADNESS = 0.75;
const MOST_ELLIPSE_QUADNESS = 0.9;
const LEAST_SOLIDITY = 0.86;
const OUTLINE_POINTS = 64;

export function fitOf(pixels: Int32Array, width: number): Fit {
  const region = regionOf(pixels, width);
  const { hull, hullArea, solidity, quads } = outlineOf(region);
  const filled = Math.min(1, pixels.length / Math.max(1, hullArea));
  const ellipse = ellipseOf(pixels, width);
  const areaRatio = pixels.length / Math.max(1e-6, Math.PI * ellipse.radii[0] * ellipse.radii[1]);
  const roundness = Math.abs(ellipseRatio(region).ratio - 1);
  const quadness = quads.length > 0 ? hullArea / quadArea(quads[0]) : 0;
  const isRound = roundness < ELLIPSE_SLACK && Math.abs(areaRatio - 1) < ELLIPSE_SLACK && solidity > 0.92;
  if (isRound && quadness < MOST_ELLIPSE_QUADNESS)
    return { kind: 'ellipse', quads: [], outline: pointsOf(ellipse), goodness: filled };
  if (quadness >= LEAST_QUADNESS && solidity >= LEAST_SOLIDITY) {
    const others = quads.slice(1).filter((quad) => hullArea >= LEAST_CUT_QUADNESS * quadArea(quad));
    const goodness = filled * Math.min(1, quadness + 0.04);
    return { kind: 'quad', quads: [quads[0], ...others], outline: quads[0], goodness };
  }
  return { kind: 'other', quads: [], outline: hull, goodness: filled * Math.max(quadness, 0.8 - roundness) };
}

/** The pixels as rows from left to right, as the simple finder's regions are. */
function regionOf(pixels: Int32Array, width: number): Region {
  let top = Number.POSITIVE_INFINITY;
  let bottom = 0;
  for (let i = 0; i < pixels.length; i++) {
    const y = Math.floor(pixels[i] / width);
    if (y < top) top = y;
    if (y > bottom) bottom = y;
  }
  const left = new Int16Array(bottom - top + 1).fill(-1);
  const right = new Int16Array(bottom - top + 1).fill(-1);
  for (let i = 0; i < pixels.length; i++) {
    const r = Math.floor(pixels[i] / width) - top;
    const x = pixels[i] % width;
    if (left[r] < 0 || x < left[r]) left[r] = x;
    if (x > right[r]) right[r] = x;
  }
  return { area: pixels.length, top, left, right, level: 0 };
}

interface Ellipse {
  readonly centre: PointPx;
  readonly radii: readonly [number, number];
  /** Of the longer radius, radians. */
  readonly turn: number;
}

/** The ellipse of the pixels' own second moments. */
function ellipseOf(pixels: Int32Array, width: number): Ellipse {
  let sx = 0;
  let sy = 0;
  for (const at of pixels) {
    sx += (at % width) + 0.5;
    sy += Math.floor(at / width) + 0.5;
  }
  const n = pixels.length;
  const [mx, my] = [sx / n, sy / n];
  let xx = 1 / 12;
  let xy = 0;
  let yy = 1 / 12;
  for (const at of pixels) {
    const dx = (at % width) + 0.5 - mx;
    const dy = Math.floor(at / width) + 0.5 - my;
    xx += (dx * dx) / n;
    xy += (dx * dy) / n;
    yy += (dy * dy) / n;
  }
  const mean = (xx + yy) / 2;
  const spread = Math.hypot((xx - yy) / 2, xy);
  return {
    centre: [mx, my],
    radii: [2 * Math.sqrt(mean + spread), 2 * Math.sqrt(Math.max(0, mean - spread))],
    turn: 0.5 * Math.atan2(2 * xy, xx - yy),
  };
}

function pointsOf({ centre, radii, turn }: Ellipse): PointPx[] {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return Array.from({ length: OUTLINE_POINTS }, (_, i): PointPx => {
    const a = (2 * Math.PI * i) / OUTLINE_POINTS;
    const [u, v] = [radii[0] * Math.cos(a), radii[1] * Math.sin(a)];
    return [centre[0] + u * c - v * s, centre[1] + u * s + v * c];
  });
}
