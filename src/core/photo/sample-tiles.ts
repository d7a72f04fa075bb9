import type { Vec3 } from '../math/linear.ts';
import type { AreaPixels } from './sample-pixels.ts';

/** Means over a square grid of tiles of an area; tile = row × side + column. */
export interface Tiles {
  readonly side: number;
  readonly count: number;
  /** Pixels visited in each tile. */
  readonly pixels: Int32Array;
  /** Mean place of the tile's pixels, −.5 to .5. */
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Mean of the cube-root values per channel. */
  readonly root: readonly [Float64Array, Float64Array, Float64Array];
  /** Which tile each pixel belongs to. */
  readonly ofPixel: Uint16Array;
}

/** Tiles with fewer pixels than this say too little to be judged by themselves. */
export const FEWEST_TILE_PIXELS = 4;

/** Divides an area into up to 14 × 14 tiles of some 20 pixels or more. */
export function tilesOf(area: AreaPixels): Tiles {
  const side = Math.max(2, Math.min(14, Math.floor(Math.sqrt(area.count / 20))));
  const count = side * side;
  const column = (): Float64Array => new Float64Array(count);
  const tiles: Tiles = {
    side,
    count,
    pixels: new Int32Array(count),
    u: column(),
    v: column(),
    root: [column(), column(), column()],
    ofPixel: new Uint16Array(area.count),
  };
  addPixels(area, tiles);
  for (let t = 0; t < count; t++) {
    const per = 1 / Math.max(1, tiles.pixels[t]);
    tiles.u[t] *= per;
    tiles.v[t] *= per;
    for (const root of tiles.root) root[t] *= per;
  }
  return tiles;
}

function addPixels(
  { count, u: us, v: vs, root: [rs, gs, bs] }: AreaPixels,
  { side, pixels, u, v, root: [r, g, b], ofPixel }: Tiles,
): void {
  const last = side - 1;
  for (let i = 0; i < count; i++) {
    // rounding may put a pixel on the far edge a hair beyond it
    const column = Math.max(0, Math.min(last, ((us[i] + 0.5) * side) | 0));
    const row = Math.max(0, Math.min(last, ((vs[i] + 0.5) * side) | 0));
    const t = row * side + column;
    ofPixel[i] = t;
    pixels[t]++;
    u[t] += us[i];
    v[t] += vs[i];
    r[t] += rs[i];
    g[t] += gs[i];
    b[t] += bs[i];
  }
}

/** Per channel, scatter of single pixels inside a tile: the median tile's standard deviation, root steps. */
export function tileScatter({ count, root: roots }: AreaPixels, { pixels, root, ofPixel }: Tiles): Vec3 {
  const scatterOf = (values: Float32Array, means: Float64Array): number => {
    const squares = new Float64Array(pixels.length);
    for (let i = 0; i < count; i++) squares[ofPixel[i]] += (values[i] - means[ofPixel[i]]) ** 2;
    const judged = squares
      .map((sum, t) => sum / Math.max(1, pixels[t] - 1))
      .filter((_, t) => pixels[t] >= FEWEST_TILE_PIXELS);
    return Math.sqrt(medianOf(judged));
  };
  return [scatterOf(roots[0], root[0]), scatterOf(roots[1], root[1]), scatterOf(roots[2], root[2])];
}

/** Middle value of a list; 0 for an empty one. */
export function medianOf(values: ArrayLike<number>): number {
  const n = values.length;
  if (n === 0) return 0;
  const work = new Float64Array(values);
  const upper = rankOf(work, n, n >> 1);
  if (n % 2) return upper;
  let lower = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < n >> 1; i++) if (work[i] > lower) lower = work[i];
  return (lower + upper) / 2;
}

/** The k-th smallest (from 0) of the first n values, which are left in two parts around it (Hoare 1961). */
export function rankOf(values: Float64Array, n: number, k: number): number {
  let lo = 0;
  let hi = n - 1;
  while (lo < hi) {
    const pivot = values[(lo + hi) >> 1];
    let i = lo;
    let j = hi;
    while (i <= j) {
      while (values[i] < pivot) i++;
      while (values[j] > pivot) j--;
      if (i <= j) {
        const swap = values[i];
        values[i++] = values[j];
        values[j--] = swap;
      }
    }
    if (k <= j) hi = j;
    else if (k >= i) lo = i;
    else break;
  }
  return values[k];
}
