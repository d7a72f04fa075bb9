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
  /** Per channel, scatter of single pixels inside a tile (the median tile's standard deviation). */
  readonly scatter: readonly [number, number, number];
  /** Which tile each pixel belongs to. */
  readonly ofPixel: Uint16Array;
}

/** Tiles with fewer pixels than this say too little to be judged by themselves. */
export const FEWEST_TILE_PIXELS = 4;

/** Divides an area into up to 14 × 14 tiles of some 20 pixels or more. */
export function tilesOf(area: AreaPixels): Tiles {
  const side = Math.max(2, Math.min(14, Math.floor(Math.sqrt(area.count / 20))));
  const count = side * side;
  const pixels = new Int32Array(count);
  const u = new Float64Array(count);
  const v = new Float64Array(count);
  const meanR = new Float64Array(count);
  const meanG = new Float64Array(count);
  const meanB = new Float64Array(count);
  const squareR = new Float64Array(count);
  const squareG = new Float64Array(count);
  const squareB = new Float64Array(count);
  const ofPixel = new Uint16Array(area.count);
  const { u: us, v: vs } = area;
  const [rs, gs, bs] = area.root;
  const last = side - 1;
  for (let i = 0; i < area.count; i++) {
    let column = ((us[i] + 0.5) * side) | 0;
    let row = ((vs[i] + 0.5) * side) | 0;
    // rounding may put a pixel on the far edge a hair beyond it
    if (column > last) column = last;
    if (row > last) row = last;
    if (column < 0) column = 0;
    if (row < 0) row = 0;
    const t = row * side + column;
    const r = rs[i];
    const g = gs[i];
    const b = bs[i];
    ofPixel[i] = t;
    pixels[t]++;
    u[t] += us[i];
    v[t] += vs[i];
    meanR[t] += r;
    meanG[t] += g;
    meanB[t] += b;
    squareR[t] += r * r;
    squareG[t] += g * g;
    squareB[t] += b * b;
  }
  const root = [meanR, meanG, meanB] as const;
  const squares = [squareR, squareG, squareB] as const;
  for (let t = 0; t < count; t++) {
    const per = 1 / Math.max(1, pixels[t]);
    u[t] *= per;
    v[t] *= per;
    meanR[t] *= per;
    meanG[t] *= per;
    meanB[t] *= per;
  }
  const scatterOf = (c: 0 | 1 | 2): number => {
    const found: number[] = [];
    for (let t = 0; t < count; t++)
      if (pixels[t] >= FEWEST_TILE_PIXELS)
        found.push(
          Math.max(0, squares[c][t] - pixels[t] * root[c][t] * root[c][t]) / Math.max(1, pixels[t] - 1),
        );
    return Math.sqrt(medianOf(found));
  };
  return { side, count, pixels, u, v, root, scatter: [scatterOf(0), scatterOf(1), scatterOf(2)], ofPixel };
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
