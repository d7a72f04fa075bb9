/** Outlines on a photo: made, moved and put in order. Points are pixels of the upright photo. */
import { fromTopLeft, inReadingOrder } from '../../core/panel/find/order.ts';
import { isConvexQuad, shortestSide } from '../../core/photo/polygon.ts';
import type { PointPx, QuadPx } from '../../core/photo/types.ts';

export type SizePx = readonly [width: number, height: number];

/** An outline as a job stores it. */
export type StoredQuad = [[number, number], [number, number], [number, number], [number, number]];

/** Shortest side that can be read, px: the core's own limit. */
const SHORTEST_SIDE_PX = 8;
/** Share of the photo's shorter side that a new outline in the middle takes. */
const MIDDLE_SHARE = 0.24;

const tenth = (v: number): number => Math.round(10 * v) / 10;
const within = (v: number, end: number): number => Math.min(end, Math.max(0, v));

/** Rounded to a tenth of a pixel, as is stored. */
export const storedQuad = (quad: QuadPx): StoredQuad =>
  quad.map(([x, y]) => [tenth(x), tenth(y)]) as StoredQuad;

/** An upright box between two opposite corners. */
export function boxQuad([ax, ay]: PointPx, [bx, by]: PointPx): QuadPx {
  const [left, right] = [Math.min(ax, bx), Math.max(ax, bx)];
  const [top, bottom] = [Math.min(ay, by), Math.max(ay, by)];
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
}

/** The outline through four points tapped in any order; undefined when they make none that can be read. */
export function tappedQuad(points: readonly PointPx[]): QuadPx | undefined {
  if (points.length !== 4) return undefined;
  const quad = fromTopLeft(points as unknown as QuadPx);
  return isReadable(quad) ? quad : undefined;
}

export const isReadable = (quad: QuadPx): boolean =>
  isConvexQuad(quad) && shortestSide(quad) >= SHORTEST_SIDE_PX;

/** A square in the middle of a photo, to be moved where it belongs. */
export function middleQuad([width, height]: SizePx, share = MIDDLE_SHARE): QuadPx {
  const half = (share * Math.min(width, height)) / 2;
  return boxQuad([width / 2 - half, height / 2 - half], [width / 2 + half, height / 2 + half]);
}

/** A rectangle in the middle, as a card that fills half the photo would lie. */
export function middleCard([width, height]: SizePx): QuadPx {
  return boxQuad([0.25 * width, 0.25 * height], [0.75 * width, 0.75 * height]);
}

/** One corner moved by (dx, dy), kept inside the photo. */
export function movedCorner(
  quad: QuadPx,
  corner: number,
  [dx, dy]: PointPx,
  [width, height]: SizePx,
): QuadPx {
  return quad.map(([x, y], i) =>
    i === corner ? [within(x + dx, width), within(y + dy, height)] : [x, y],
  ) as unknown as QuadPx;
}

/** The whole outline moved by (dx, dy), as far as the photo goes; its shape stays. */
export function movedQuad(quad: QuadPx, [dx, dy]: PointPx, [width, height]: SizePx): QuadPx {
  const xs = quad.map((p) => p[0]);
  const ys = quad.map((p) => p[1]);
  const mx = Math.max(-Math.min(...xs), Math.min(width - Math.max(...xs), dx));
  const my = Math.max(-Math.min(...ys), Math.min(height - Math.max(...ys), dy));
  return quad.map(([x, y]) => [x + mx, y + my]) as unknown as QuadPx;
}

/** Things with outlines in reading order: rows from the top, each from the left. */
export function readingOrder<T extends { readonly corners_px: QuadPx }>(things: readonly T[]): T[] {
  return inReadingOrder(things.map((thing) => ({ thing, quad: thing.corners_px }))).map((e) => e.thing);
}
