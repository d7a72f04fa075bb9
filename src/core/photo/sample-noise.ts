import type { Vec3 } from '../math/linear.ts';
import type { AreaPixels, UnusedBits } from './sample-pixels.ts';
import type { Raster } from './types.ts';

/** Smallest block, 2^2 = 4 px; larger ones are 2, 4 and 8 times as wide. 8 px is JPEG's own block. */
const BLOCK_SHIFT = 2;
const SCALES = 4;
/** A scale with fewer blocks than this can't tell its own scatter. */
const FEWEST_BLOCKS = 9;
/** Degrees of freedom that the mean and the fall-off took. */
const FITTED = 3;

/** Sums over an area's accepted pixels, of which `value` is the cube of their root value. */
export interface AreaSums {
  /** Pixels accepted in all three channels, and the sums of their centres' places in the photo and in the area. */
  readonly pixels: number;
  readonly x: number;
  readonly y: number;
  readonly u: number;
  readonly v: number;
  /** Per channel: pixels that count, sum of their values and of the values' squares. */
  readonly channels: Float64Array;
  readonly blocks: BlockSums;
}

/** Sums per block of a photo-wide grid: six numbers a block, the three channels' sums and their pixel counts. */
interface BlockSums {
  /** First block column and row of the grid that the sums cover. */
  readonly left: number;
  readonly top: number;
  readonly columns: number;
  readonly rows: number;
  /** log₂ of a block's side, px. */
  readonly shift: number;
  readonly sums: Float64Array;
}

/**
 * Adds up the pixels of an area without a verdict against them: those with one of the `any` bits among their clipped
 * bits are passed over, in a channel those with one of its own.
 */
export function sumsOf(area: AreaPixels, unused: UnusedBits): AreaSums {
  const blocks = blocksOf(area);
  const channels = new Float64Array(9);
  const placed = addPixels(area, blocks, unused.any, unused.channel, channels);
  return { ...placed, channels, blocks };
}

function blocksOf({ count, x, y, stride }: AreaPixels): BlockSums {
  // a block of fewer than some visits is no block: start where one holds four or more
  let shift = BLOCK_SHIFT;
  while (1 << shift < 2 * stride) shift++;
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
  return { left, top, columns, rows, shift, sums: new Float64Array(6 * columns * rows) };
}

function addPixels(
  { count, x, y, u, v, kind, clipped, weight, root: [rootR, rootG, rootB] }: AreaPixels,
  { left, top, columns, shift, sums }: BlockSums,
  any: number,
  [skipR, skipG, skipB]: Vec3,
  channels: Float64Array,
): Pick<AreaSums, 'pixels' | 'x' | 'y' | 'u' | 'v'> {
  let pixels = 0;
  let sumX = 0;
  let sumY = 0;
  let sumU = 0;
  let sumV = 0;
  for (let i = 0; i < count; i++) {
    if (kind[i] !== 0) continue;
    const bits = clipped[i];
    if ((bits & any) === 0) {
      const w = weight[i];
      pixels += w;
      sumX += w * (x[i] + 0.5);
      sumY += w * (y[i] + 0.5);
      sumU += w * u[i];
      sumV += w * v[i];
    }
    const k = 6 * (((y[i] >> shift) - top) * columns + (x[i] >> shift) - left);
    if ((bits & skipR) === 0) addValue(rootR[i], weight[i], sums, k, channels, 0);
    if ((bits & skipG) === 0) addValue(rootG[i], weight[i], sums, k + 1, channels, 3);
    if ((bits & skipB) === 0) addValue(rootB[i], weight[i], sums, k + 2, channels, 6);
  }
  return { pixels, x: sumX, y: sumY, u: sumU, v: sumV };
}

function addValue(
  root: number,
  weight: number,
  sums: Float64Array,
  k: number,
  channels: Float64Array,
  c: number,
): void {
  const value = root * root * root;
  const weighed = weight * value;
  sums[k] += weighed;
  sums[k + 3] += weight;
  channels[c] += weight;
  channels[c + 1] += weighed;
  channels[c + 2] += weighed * value;
}

/**
 * Standard error of a mean over pixels whose noise is shared by neighbours (demosaicing, denoising, compression):
 * the scatter of block sums about the mean, which counts whatever is shared inside a block (the cluster-robust
 * variance, Liang and Zeger 1986), at blocks of 4, 8, 16 and 32 px; the largest of them holds. Quantisation is
 * added: what rounding leaves of an error when the noise doesn't dither it, q²/12·exp(−4π²σ²/q²)
 * (Widrow, Kollár and Liu 1996). `scale` is linear light for a value of one. Takes the means out of the sums.
 */
export function standardErrors(
  raster: Raster,
  { meanCode }: AreaPixels,
  { channels, blocks }: AreaSums,
  scale: number,
): Vec3 {
  takeMeansOut(blocks, channels);
  const scales = [blocks];
  while (scales.length < SCALES) scales.push(fourToOne(scales[scales.length - 1]));
  const error = (c: 0 | 1 | 2): number => {
    const n = channels[3 * c];
    if (n < 2) return 0;
    const squares = Math.max(0, channels[3 * c + 2] - channels[3 * c + 1] ** 2 / n);
    const round = quantisationError(raster.profile.decode[c], meanCode[c], scale * Math.sqrt(squares / n));
    return Math.hypot(scale * blockError(scales, c, n, squares), round);
  };
  return [error(0), error(1), error(2)];
}

function takeMeansOut({ sums }: BlockSums, channels: Float64Array): void {
  for (let c = 0; c < 3; c++) {
    const mean = channels[3 * c + 1] / Math.max(1, channels[3 * c]);
    for (let k = c; k < sums.length; k += 6) sums[k] -= mean * sums[k + 3];
  }
}

/** Standard error of a channel's mean over n pixels whose squared differences from it add up to `squares`. */
function blockError(scales: readonly BlockSums[], c: number, n: number, squares: number): number {
  let variance = squares / (n * Math.max(1, n - FITTED));
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
  return { left, top, columns, rows, shift: fine.shift + 1, sums };
}

function quantisationError(decode: Float32Array, meanCode: number, pixelScatter: number): number {
  const last = decode.length - 1;
  const code = Math.max(1, Math.min(last - 1, Math.round(meanCode)));
  const step = (decode[code + 1] - decode[code - 1]) / 2;
  if (!(step > 0)) return 0;
  const noise = pixelScatter / step;
  return (step / Math.sqrt(12)) * Math.exp(-2 * Math.PI * Math.PI * noise * noise);
}
