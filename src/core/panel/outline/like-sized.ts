/**
 * Panels of one job are mostly cut to one size, and lie in the plane of the card (common practice, no source). Where
 * fingers, tape, glare or another panel hide a side, the size of the others says where it is.
 */
import type { CardPlace } from '../../card/types.ts';
import { isConvexQuad, quadSides } from '../../photo/polygon.ts';
import { medianOf } from '../../photo/sample-tiles.ts';
import type { PointMm, QuadPx } from '../../photo/types.ts';

/** Width and height of a rectangle on the card's plane, mm. */
export type SizeMm = readonly [number, number];

/** Sides opposite each other, and sides or radii of one size, differ by this share at most. */
export const ALIKE = 0.045;
/** Cosine of the angle between neighbouring sides of a rectangle, at most: 3.4°. */
const SQUARE = 0.06;
/** So many panels make a size. */
export const FEWEST_OF_A_SIZE = 2;

/** The sizes that at least two and at least half of the quadrilaterals have. */
export function commonSizes(quads: readonly QuadPx[], card: CardPlace): SizeMm[] {
  const sizes = quads.map((quad) => rectangleSize(quad, card)).filter((size) => size !== undefined);
  const groups: SizeMm[][] = [];
  for (const size of sizes) {
    const group = groups.find(([first]) => isAlike(first, size));
    if (group) group.push(size);
    else groups.push([size]);
  }
  return groups
    .filter((group) => group.length >= FEWEST_OF_A_SIZE && 2 * group.length >= quads.length)
    .map((group): SizeMm => [medianOf(group.map(([w]) => w)), medianOf(group.map(([, h]) => h))]);
}

/** Whether a quadrilateral is a rectangle of one of the sizes on the card's plane. */
export function hasSize(quad: QuadPx, sizes: readonly SizeMm[], card: CardPlace): boolean {
  const own = rectangleSize(quad, card);
  return own !== undefined && sizes.some((size) => isAlike(size, own));
}

/**
 * Rectangles of the sizes that share a corner and the direction of a side with the quadrilateral, on the card's plane.
 * Corners clockwise as the quadrilateral's.
 */
export function rectanglesAt(quad: QuadPx, sizes: readonly SizeMm[], card: CardPlace): QuadPx[] {
  const corners = quad.map(card.toMm);
  const made: QuadPx[] = [];
  corners.forEach((corner, i) => {
    const after = corners[(i + 1) % 4];
    const before = corners[(i + 3) % 4];
    const turn = Math.sign(cross(minus(after, corner), minus(before, corner)));
    const alongs = [direction(corner, after), quarterTurned(direction(corner, before), -turn)];
    for (const along of alongs)
      for (const [w, h] of sizes.flatMap(([s, l]) => [[s, l] as const, [l, s] as const])) {
        const across = quarterTurned(along, turn);
        const places = [
          [0, 0],
          [w, 0],
          [w, h],
          [0, h],
        ].map(
          ([u, v]): PointMm => [
            corner[0] + u * along[0] + v * across[0],
            corner[1] + u * along[1] + v * across[1],
          ],
        );
        const rectangle = places.map(card.toPx) as unknown as QuadPx;
        if (isConvexQuad(rectangle)) made.push(rectangle);
      }
  });
  return made;
}

/** Shorter and longer side of what is nearly a rectangle on the card's plane; undefined for anything else. */
function rectangleSize(quad: QuadPx, card: CardPlace): SizeMm | undefined {
  const corners = quad.map(card.toMm);
  const sides = corners.map((p, i) => minus(corners[(i + 1) % 4], p));
  const lengths = sides.map(([x, y]) => Math.hypot(x, y));
  const isSquare = sides.every(([x, y], i) => {
    const [u, v] = sides[(i + 1) % 4];
    return Math.abs(x * u + y * v) <= SQUARE * lengths[i] * lengths[(i + 1) % 4];
  });
  if (!isSquare || !isNear(lengths[0], lengths[2]) || !isNear(lengths[1], lengths[3])) return undefined;
  const [a, b] = quadSides(corners);
  return [Math.min(a, b), Math.max(a, b)];
}

const isNear = (a: number, b: number): boolean => Math.abs(a - b) <= ALIKE * Math.max(a, b);
const isAlike = (a: SizeMm, b: SizeMm): boolean => isNear(a[0], b[0]) && isNear(a[1], b[1]);
const minus = (a: PointMm, b: PointMm): PointMm => [a[0] - b[0], a[1] - b[1]];
const cross = (a: PointMm, b: PointMm): number => a[0] * b[1] - a[1] * b[0];
const quarterTurned = ([x, y]: PointMm, turn: number): PointMm => [-turn * y, turn * x];

function direction(from: PointMm, to: PointMm): PointMm {
  const [x, y] = minus(to, from);
  const length = Math.hypot(x, y);
  return [x / length, y / length];
}
