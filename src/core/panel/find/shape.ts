/** What a panel looks like in a photo, whichever way it was found. */
import type { CardOutline } from '../../card/types.ts';
import {
  eachPixelRow,
  isConvexQuad,
  quadArea,
  quadInsidePhoto,
  sharedArea,
  shortestSide,
} from '../../photo/polygon.ts';
import { medianOf } from '../../photo/sample-tiles.ts';
import type { PointPx, QuadPx, Raster } from '../../photo/types.ts';
import type { ReducedPhoto } from './reduce.ts';

/** A panel's share of the photo. */
export const SMALLEST_SHARE = 0.002;
export const LARGEST_SHARE = 0.6;
const SHORTEST_SIDE_PX = 24;
const LONGEST_TO_SHORTEST = 4;
/** A panel is one colour: this share of it lies within so many root steps of its median. */
export const EVEN_SHARE = 0.6;
const EVEN_WITHIN = 10;

/** A quadrilateral of the reduced photo in pixels of the photo. */
export function toPhoto(quad: QuadPx, factor: number): QuadPx {
  return quad.map(([x, y]): PointPx => [x * factor, y * factor]) as unknown as QuadPx;
}

export function isPanelShaped(raster: Raster, quad: QuadPx): boolean {
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

export function onACard(quad: QuadPx, cards: readonly CardOutline[]): boolean {
  return cards.some(
    ({ corners_px }) => isConvexQuad(corners_px) && sharedArea(quad, corners_px) > 0.005 * quadArea(quad),
  );
}

/** Share of a quadrilateral's reduced pixels whose colour lies near the median of them all. */
export function evenShare({ width, height, factor, root }: ReducedPhoto, quad: QuadPx): number {
  const small = quad.map(([x, y]): PointPx => [x / factor, y / factor]) as unknown as QuadPx;
  const found: number[] = [];
  const stride = Math.max(1, Math.floor(Math.sqrt(quadArea(small) / 300)));
  eachPixelRow({ width_px: width, height_px: height }, small, stride, (y, from, to) => {
    for (let x = from; x < to; x += stride) found.push(3 * (y * width + x));
  });
  const r = medianOf(found.map((at) => root[at]));
  const g = medianOf(found.map((at) => root[at + 1]));
  const b = medianOf(found.map((at) => root[at + 2]));
  let near = 0;
  for (const at of found) {
    const square = (root[at] - r) ** 2 + (root[at + 1] - g) ** 2 + (root[at + 2] - b) ** 2;
    if (square < EVEN_WITHIN * EVEN_WITHIN) near++;
  }
  return near / Math.max(1, found.length);
}
