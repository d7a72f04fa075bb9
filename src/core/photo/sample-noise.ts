import type { Vec3 } from '../math/linear.ts';
import type { AreaPixels } from './sample-pixels.ts';
import type { Raster } from './types.ts';

/** Smallest block, 2^2 = 4 px; larger ones are 2, 4 and 8 times as wide. 8 px is JPEG's own block. */
const BLOCK_SHIFT = 2;
const SCALES = 4;
/** A scale with fewer blocks than this can't tell its own scatter. */
const FEWEST_BLOCKS = 9;
/** Degrees of freedom that the mean and the fall-off took. */
const FITTED = 3;

/**
 * Standard error of a mean over pixels whose noise is shared by neighbours (demosaicing, denoising, compression):
 * the scatter of block sums about the mean, which counts whatever is shared inside a block (the cluster-robust
 * variance, Liang and Zeger 1986), at blocks of 4, 8, 16 and 32 px; the largest of them holds. Quantisation is
 * added: what rounding leaves of an error when the noise doesn't dither it, q²/12·exp(−4π²σ²/q²)
 * (Widrow, Kollár and Liu 1996).
 *
 * Expects fall-off undone in `area.root`; `atCentre` restores it. Pixels with `area.kind` set, or with one of a
 * channel's `unused` bits among their clipped bits, are passed over.
 */
export function standardErrors(
  raster: Raster,
  area: AreaPixels,
  unused: Vec3,
  mean: Vec3,
  atCentre: number,
): Vec3 {
  const scales = [blockSums(area, unused, mean, atCentre)];
  while (scales.length < SCALES) scales.push(fourToOne(scales[scales.length - 1]));
  const [{ pixels, squares }] = scales;
  const error = (c: 0 | 1 | 2): number => {
    const n = pixels[c];
    if (n < 2) return 0;
    const scatter = Math.sqrt(squares[c] / n);
    const round = quantisationError(raster.profile.decode[c], area.meanCode[c], scatter);
    return Math.hypot(blockError(scales, c), round);
  };
  return [error(0), error(1), error(2)];
}

/** Sums per block of a photo-wide grid: six numbers a block, the three channels' sums and their pixel counts. */
interface BlockSums {
  /** First block column and row of the grid that the sums cover. */
  readonly left: number;
  readonly top: number;
  readonly columns: number;
  readonly rows: number;
  readonly sums: Float64Array;
  readonly pixels: readonly number[];
  /** Sum of squares over single pixels, per channel. */
  readonly squares: readonly number[];
}

function blockSums(area: AreaPixels, unused: Vec3, mean: Vec3, atCentre: number): BlockSums {
  const { count, x, y, kind, clipped } = area;
  // a block of fewer than some visits is no block: start where one holds four or more
  let shift = BLOCK_SHIFT;
  while (1 << shift < 2 * area.stride) shift++;
  let left = 65535;
  let right = 0;
  for (let i = 0; i < count; i++) {
    if (x[i] < left) left = x[i];
    if (x[i] > right) right = x[i];
  }
  left >>= shift;
  // visits come row by row
  const top = y[0] >> shift;
  const columns = (right >> shift) - left + 1;
  const rows = (y[count - 1] >> shift) - top + 1;
  const sums = new Float64Array(6 * columns * rows);
  const scale = atCentre * 1e-6;
  const [rootR, rootG, rootB] = area.root;
  const [skipR, skipG, skipB] = unused;
  const [meanR, meanG, meanB] = mean;
  let pixelsR = 0;
  let pixelsG = 0;
  let pixelsB = 0;
  let squareR = 0;
  let squareG = 0;
  let squareB = 0;
  for (let i = 0; i < count; i++) {
    if (kind[i] !== 0) continue;
    const bits = clipped[i];
    const k = 6 * (((y[i] >> shift) - top) * columns + (x[i] >> shift) - left);
    if ((bits & skipR) === 0) {
      const d = scale * rootR[i] * rootR[i] * rootR[i] - meanR;
      sums[k] += d;
      sums[k + 3]++;
      squareR += d * d;
      pixelsR++;
    }
    if ((bits & skipG) === 0) {
      const d = scale * rootG[i] * rootG[i] * rootG[i] - meanG;
      sums[k + 1] += d;
      sums[k + 4]++;
      squareG += d * d;
      pixelsG++;
    }
    if ((bits & skipB) === 0) {
      const d = scale * rootB[i] * rootB[i] * rootB[i] - meanB;
      sums[k + 2] += d;
      sums[k + 5]++;
      squareB += d * d;
      pixelsB++;
    }
  }
  const pixels = [pixelsR, pixelsG, pixelsB];
  const squares = [squareR, squareG, squareB];
  return { left, top, columns, rows, sums, pixels, squares };
}

function blockError(scales: readonly BlockSums[], c: number): number {
  const [finest] = scales;
  const n = finest.pixels[c];
  let variance = finest.squares[c] / (n * Math.max(1, n - FITTED));
  for (const { sums } of scales) {
    let blocks = 0;
    let total = 0;
    for (let k = c; k < sums.length; k += 6)
      if (sums[k + 3] > 0) {
        blocks++;
        total += sums[k] * sums[k];
      }
    if (blocks < FEWEST_BLOCKS) break;
    variance = Math.max(variance, ((blocks / (blocks - FITTED)) * total) / (n * n));
  }
  return Math.sqrt(variance);
}

function fourToOne(fine: BlockSums): BlockSums {
  const left = fine.left >> 1;
  const top = fine.top >> 1;
  const columns = ((fine.left + fine.columns - 1) >> 1) - left + 1;
  const rows = ((fine.top + fine.rows - 1) >> 1) - top + 1;
  const sums = new Float64Array(6 * columns * rows);
  const finer = fine.sums;
  for (let r = 0; r < fine.rows; r++)
    for (let column = 0; column < fine.columns; column++) {
      const to = 6 * ((((fine.top + r) >> 1) - top) * columns + ((fine.left + column) >> 1) - left);
      const from = 6 * (r * fine.columns + column);
      for (let k = 0; k < 6; k++) sums[to + k] += finer[from + k];
    }
  return { ...fine, left, top, columns, rows, sums };
}

function quantisationError(decode: Float32Array, meanCode: number, pixelScatter: number): number {
  const last = decode.length - 1;
  const code = Math.max(1, Math.min(last - 1, Math.round(meanCode)));
  const step = (decode[code + 1] - decode[code - 1]) / 2;
  if (!(step > 0)) return 0;
  const noise = pixelScatter / step;
  return (step / Math.sqrt(12)) * Math.exp(-2 * Math.PI * Math.PI * noise * noise);
}
