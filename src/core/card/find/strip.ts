import type { PointMm, QuadMm, Raster } from '../../photo/types.ts';
import type { CardDefinition, PlacedCard } from '../types.ts';
import { cornersMm, readableMarkers } from './agree.ts';
import { cornersOnPhoto } from './corners.ts';
import { fitSquare } from './edges.ts';
import { meanSide } from './quads.ts';
import type { Square } from './tags.ts';

/** A tag that seems this much larger or smaller than it is printed does not lie flat beside the card. */
const OFF_SCALE = 0.12;

/**
 * Places a strip with one tag beside a placed card. It lies flat in the card's plane, so only a shift and a turn are
 * left to find; one small tag alone would tell neither tilt nor scale well. Undefined when the tag was not seen.
 */
export function placeStrip(
  definition: CardDefinition,
  main: PlacedCard,
  squares: readonly Square[],
  photo: Raster,
): PlacedCard | undefined {
  const [marker] = readableMarkers(definition);
  if (!marker) return undefined;
  let best: PlacedCard | undefined;
  for (const square of squares) {
    if (square.code?.id !== marker.id) continue;
    const reach = Math.min(0.7 * (square.side_px / 8), 3 + 2 * square.blur_px);
    const fitted = fitSquare(photo, square.corners, reach, 48, 4);
    const corners = fitted?.corners ?? square.corners;
    const seen = [0, 1, 2, 3].map((i) =>
      main.toMm([corners[2 * i], corners[2 * i + 1]]),
    ) as unknown as QuadMm;
    const motion = rigidMotion(cornersMm(marker), seen);
    if (Math.abs(motion.scale - 1) > OFF_SCALE) continue;
    const pxPerMm = meanSide(corners) / meanSide(cornersMm(marker));
    const placed = beside(definition, main, motion, motion.residual_mm * pxPerMm);
    if (!best || placed.residual_px < best.residual_px) best = placed;
  }
  return best;
}

interface Motion {
  readonly cos: number;
  readonly sin: number;
  readonly from: PointMm;
  readonly to: PointMm;
  /** What a scale would have been, 1 for a tag that lies in the plane. */
  readonly scale: number;
  readonly residual_mm: number;
}

/** Shift and turn that take the printed corners nearest to the seen ones (least squares, in the plane). */
function rigidMotion(printed: Float64Array, seen: QuadMm): Motion {
  const from: PointMm = [mean(printed, 0), mean(printed, 1)];
  const flat = Float64Array.from(seen.flat());
  const to: PointMm = [mean(flat, 0), mean(flat, 1)];
  let dot = 0;
  let cross = 0;
  let size = 0;
  for (let i = 0; i < 4; i++) {
    const px = printed[2 * i] - from[0];
    const py = printed[2 * i + 1] - from[1];
    const qx = flat[2 * i] - to[0];
    const qy = flat[2 * i + 1] - to[1];
    dot += px * qx + py * qy;
    cross += px * qy - py * qx;
    size += px * px + py * py;
  }
  const length = Math.hypot(dot, cross);
  const scale = length / size;
  const cos = dot / length;
  const sin = cross / length;
  let sum = 0;
  for (let i = 0; i < 4; i++) {
    // growth of the dark square (ink, tone curve) is no misplacing: compare at the seen scale
    const px = scale * (printed[2 * i] - from[0]);
    const py = scale * (printed[2 * i + 1] - from[1]);
    sum +=
      (cos * px - sin * py + to[0] - flat[2 * i]) ** 2 + (sin * px + cos * py + to[1] - flat[2 * i + 1]) ** 2;
  }
  return { cos, sin, from, to, scale, residual_mm: Math.sqrt(sum / 4) };
}

function mean(pairs: Float64Array, axis: number): number {
  return (pairs[axis] + pairs[axis + 2] + pairs[axis + 4] + pairs[axis + 6]) / 4;
}

function beside(
  definition: CardDefinition,
  main: PlacedCard,
  motion: Motion,
  residual_px: number,
): PlacedCard {
  const { cos, sin, from, to } = motion;
  const toPx: PlacedCard['toPx'] = ([x, y]) => {
    const dx = x - from[0];
    const dy = y - from[1];
    return main.toPx([to[0] + cos * dx - sin * dy, to[1] + sin * dx + cos * dy]);
  };
  const toMm: PlacedCard['toMm'] = (px) => {
    const [x, y] = main.toMm(px);
    const dx = x - to[0];
    const dy = y - to[1];
    return [from[0] + cos * dx + sin * dy, from[1] - sin * dx + cos * dy];
  };
  return {
    definition,
    found_by: 'markers',
    corners_px: cornersOnPhoto(definition, toPx),
    toPx,
    toMm,
    residual_px,
  };
}
