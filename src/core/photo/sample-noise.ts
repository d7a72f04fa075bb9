import type { Vec3 } from '../math/linear.ts';
import type { AreaPixels, UnusedBits } from './sample-pixels.ts';
import type { Raster } from './types.ts';

/** Blocks of 4, 8, 16 and 32 px. */
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
}

/**
 * Adds up the pixels of an area without a verdict against them: those with one of the `any` bits among their clipped
 * bits are passed over, in a channel those with one of its own.
 */
export function sumsOf({ workspace: { code, out }, count, grid }: AreaPixels, unused: UnusedBits): AreaSums {
  const { left, top, columns, rows, shift } = grid;
  code.addSums(count, unused.any, skipsOf(unused), left, top, columns, rows, shift);
  return { pixels: out[0], x: out[1], y: out[2], u: out[3], v: out[4], channels: out.slice(5, 14) };
}

/** The three channels' bits as one number, red's the lowest. */
export function skipsOf({ channel: [r, g, b] }: UnusedBits): number {
  return r | (g << 8) | (b << 16);
}

/**
 * Standard error of a mean over pixels whose noise is shared by neighbours (demosaicing, denoising, compression):
 * the scatter of block sums about the mean, which counts whatever is shared inside a block (the cluster-robust
 * variance, Liang and Zeger 1986), at blocks of 4, 8, 16 and 32 px; the largest of them holds. Quantisation is
 * added: what rounding leaves of an error when the noise doesn't dither it, q²/12·exp(−4π²σ²/q²)
 * (Widrow, Kollár and Liu 1996). `scale` is linear light for a value of one. To be asked once, right after `sumsOf`, whose sums
 * by block it uses up.
 */
export function standardErrors(
  raster: Raster,
  { workspace: { code, out }, meanCode, grid }: AreaPixels,
  { channels }: AreaSums,
  scale: number,
): Vec3 {
  const { left, top, columns, rows } = grid;
  code.variances(left, top, columns, rows, SCALES, FEWEST_BLOCKS, FITTED);
  const error = (c: 0 | 1 | 2): number => {
    if (channels[3 * c] < 2) return 0;
    const round = quantisationError(raster.profile.decode[c], meanCode[c], scale * Math.sqrt(out[3 + c]));
    return Math.hypot(scale * Math.sqrt(out[c]), round);
  };
  return [error(0), error(1), error(2)];
}

function quantisationError(decode: Float32Array, meanCode: number, pixelScatter: number): number {
  const last = decode.length - 1;
  const code = Math.max(1, Math.min(last - 1, Math.round(meanCode)));
  const step = (decode[code + 1] - decode[code - 1]) / 2;
  if (!(step > 0)) return 0;
  const noise = pixelScatter / step;
  return (step / Math.sqrt(12)) * Math.exp(-2 * Math.PI * Math.PI * noise * noise);
}
