import type { Vec3 } from '../math/linear.ts';
import { MOST_TILES } from './area-code.ts';
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
}

/** Tiles with fewer pixels than this say too little to be judged by themselves. */
export const FEWEST_TILE_PIXELS = 4;

/** Divides an area into up to 14 × 14 tiles of some 20 pixels or more, and adds up what lies in them. Returns how many along a side. */
export function addTiles({ workspace, count }: AreaPixels): number {
  const side = Math.max(2, Math.min(MOST_TILES, Math.floor(Math.sqrt(count / 20))));
  workspace.code.addTiles(count, side);
  return side;
}

/** The tiles as they were added up. */
export function tilesOf({ workspace }: AreaPixels, side: number): Tiles {
  const count = side * side;
  const column = (): Float64Array => new Float64Array(count);
  const tiles: Tiles = {
    side,
    count,
    pixels: new Int32Array(count),
    u: column(),
    v: column(),
    root: [column(), column(), column()],
  };
  const sums = workspace.tiles;
  const [r, g, b] = tiles.root;
  for (let t = 0, at = 0; t < count; t++, at += 6) {
    const per = 1 / Math.max(1, sums[at]);
    tiles.pixels[t] = sums[at];
    tiles.u[t] = sums[at + 1] * per;
    tiles.v[t] = sums[at + 2] * per;
    r[t] = sums[at + 3] * per;
    g[t] = sums[at + 4] * per;
    b[t] = sums[at + 5] * per;
  }
  return tiles;
}

/** Per channel, scatter of single pixels inside a tile: the median tile's standard deviation, root steps. */
export function tileScatter({ workspace, count }: AreaPixels, { pixels, root }: Tiles): Vec3 {
  const { code, means, out } = workspace;
  const scatterOf = (channel: 0 | 1 | 2): number => {
    means.set(root[channel]);
    code.addTileSquares(count, channel, pixels.length, means.byteOffset);
    const judged: number[] = [];
    for (let t = 0; t < pixels.length; t++)
      if (pixels[t] >= FEWEST_TILE_PIXELS) judged.push(out[t] / Math.max(1, pixels[t] - 1));
    return Math.sqrt(medianOf(judged));
  };
  return [scatterOf(0), scatterOf(1), scatterOf(2)];
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
function rankOf(values: Float64Array, n: number, k: number): number {
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
