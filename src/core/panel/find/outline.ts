import { isConvexQuad, outlineArea } from '../../photo/polygon.ts';
import type { PointPx, QuadPx } from '../../photo/types.ts';
import type { Region } from './flood.ts';

/** A region's outline as a convex hull and as four sides. */
export interface Outline {
  readonly hull: readonly PointPx[];
  readonly hullArea: number;
  /** Pixels with holes filled, over the hull's area: 1 when nothing is bitten out of it. */
  readonly solidity: number;
  /** Quadrilaterals around the hull, tightest first: more than one where a corner may have been cut off by glare. */
  readonly quads: readonly QuadPx[];
}

export function outlineOf(region: Region): Outline {
  const hull = convexHull(region);
  const hullArea = outlineArea(hull);
  let filled = 0;
  for (let r = 0; r < region.left.length; r++)
    if (region.left[r] >= 0) filled += region.right[r] - region.left[r] + 1;
  return { hull, hullArea, solidity: filled / Math.max(1, hullArea), quads: quadsAround(hull) };
}

/** Convex hull of a region's pixels, corners of pixels included, by Andrew's chain (1979). */
function convexHull({ top, left, right }: Region): PointPx[] {
  // the outermost corners of pixels on each line between rows: in the order that the chain needs
  const sorted: PointPx[] = [];
  for (let r = 0; r <= left.length; r++) {
    const above = r > 0 && left[r - 1] >= 0;
    const below = r < left.length && left[r] >= 0;
    if (!above && !below) continue;
    const from = !above ? left[r] : !below ? left[r - 1] : Math.min(left[r - 1], left[r]);
    const to = Math.max(above ? right[r - 1] : 0, below ? right[r] : 0) + 1;
    sorted.push([from, top + r], [to, top + r]);
  }
  const half = (points: readonly PointPx[]): PointPx[] => {
    const chain: PointPx[] = [];
    for (const p of points) {
      while (chain.length > 1 && turn(chain[chain.length - 2], chain[chain.length - 1], p) <= 0) chain.pop();
      chain.push(p);
    }
    return chain.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.reverse())];
}

function turn(o: PointPx, a: PointPx, b: PointPx): number {
  return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
}

/**
 * Quadrilaterals around a convex outline. Sides are taken away one by one, always the one whose neighbours, drawn on until they meet, enclose the least beyond
 * it; of the last five sides each that can go gives one.
 */
function quadsAround(hull: readonly PointPx[]): QuadPx[] {
  const outline = [...hull];
  while (outline.length > 5) {
    let least: Removal | undefined;
    for (let i = 0; i < outline.length; i++) {
      const removal = removalOf(outline, i);
      if (removal && !(least && least.added <= removal.added)) least = removal;
    }
    if (!least) return [];
    removeSide(outline, least);
  }
  if (outline.length < 4) return [];
  const quads = outline.length === 4 ? [outline] : shortened(outline);
  return quads.map((quad) => quad as unknown as QuadPx).filter(isConvexQuad);
}

/** Taking away the side from corner `side` to the next one, so that its neighbours meet in `corner`. */
interface Removal {
  readonly side: number;
  readonly corner: PointPx;
  /** Area that is added. */
  readonly added: number;
}

function removalOf(outline: readonly PointPx[], side: number): Removal | undefined {
  const n = outline.length;
  const b = outline[side];
  const c = outline[(side + 1) % n];
  const corner = meeting(outline[(side + n - 1) % n], b, outline[(side + 2) % n], c);
  return corner && { side, corner, added: Math.abs(turn(b, c, corner)) / 2 };
}

function removeSide(outline: PointPx[], { side, corner }: Removal): void {
  outline[side] = corner;
  outline.splice((side + 1) % outline.length, 1);
}

/** Every outline with one side less, by the area that it adds. */
function shortened(outline: readonly PointPx[]): PointPx[][] {
  return outline
    .map((_, side) => removalOf(outline, side))
    .filter((removal) => removal !== undefined)
    .sort((a, b) => a.added - b.added)
    .map((removal) => {
      const shorter = [...outline];
      removeSide(shorter, removal);
      return shorter;
    });
}

/** Where the line from a through b, drawn on beyond b, meets the line from d through c, drawn on beyond c. */
function meeting(a: PointPx, b: PointPx, d: PointPx, c: PointPx): PointPx | undefined {
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const vx = c[0] - d[0];
  const vy = c[1] - d[1];
  const det = ux * vy - uy * vx;
  if (Math.abs(det) < 1e-9) return undefined;
  const s = ((c[0] - b[0]) * vy - (c[1] - b[1]) * vx) / det;
  const t = ((c[0] - b[0]) * uy - (c[1] - b[1]) * ux) / det;
  if (s < 0 || t < 0) return undefined;
  return [b[0] + s * ux, b[1] + s * uy];
}

/** Point where the line through a and b meets the line through c and d; undefined when they run alongside. */
export function crossing(a: PointPx, b: PointPx, c: PointPx, d: PointPx): PointPx | undefined {
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const vx = d[0] - c[0];
  const vy = d[1] - c[1];
  const det = ux * vy - uy * vx;
  if (Math.abs(det) < 1e-9 * Math.hypot(ux, uy) * Math.hypot(vx, vy)) return undefined;
  const s = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / det;
  return [a[0] + s * ux, a[1] + s * uy];
}

/** A convex quadrilateral with every side moved outward by `by`. */
export function grown(quad: QuadPx, by: number): QuadPx | undefined {
  const winding = Math.sign(turn(quad[0], quad[1], quad[2]));
  const sides = quad.map((a, i): [PointPx, PointPx] => {
    const b = quad[(i + 1) % 4];
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    const nx = (winding * by * (b[1] - a[1])) / length;
    const ny = (-winding * by * (b[0] - a[0])) / length;
    return [
      [a[0] + nx, a[1] + ny],
      [b[0] + nx, b[1] + ny],
    ];
  });
  const corners = sides.map((side, i) => crossing(...sides[(i + 3) % 4], ...side));
  return corners.every((c) => c !== undefined) ? (corners as unknown as QuadPx) : undefined;
}

/** Area of the ellipse with a hull's own second moments, over the hull's area: 1 for an ellipse, 1.047 for a rectangle. */
export function ellipseRatio(region: Region): { ratio: number; centre: PointPx; radii: [number, number] } {
  let n = 0;
  let sx = 0;
  let sy = 0;
  for (let r = 0; r < region.left.length; r++) {
    if (region.left[r] < 0) continue;
    const width = region.right[r] - region.left[r] + 1;
    n += width;
    sx += (width * (region.left[r] + region.right[r] + 1)) / 2;
    sy += width * (region.top + r + 0.5);
  }
  const mx = sx / n;
  const my = sy / n;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let r = 0; r < region.left.length; r++) {
    if (region.left[r] < 0) continue;
    const width = region.right[r] - region.left[r] + 1;
    const dx = (region.left[r] + region.right[r] + 1) / 2 - mx;
    const dy = region.top + r + 0.5 - my;
    xx += width * (dx * dx + width * (width / 12));
    xy += width * dx * dy;
    yy += width * (dy * dy + 1 / 12);
  }
  const det = Math.sqrt(Math.max(0, xx * yy - xy * xy)) / n;
  const mean = (xx + yy) / (2 * n);
  const spread = Math.sqrt(Math.max(0, mean * mean - det * det));
  return {
    ratio: (4 * Math.PI * det) / n,
    centre: [mx, my],
    radii: [2 * Math.sqrt(mean + spread), 2 * Math.sqrt(Math.max(0, mean - spread))],
  };
}
