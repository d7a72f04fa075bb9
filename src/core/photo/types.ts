import type { Mat3, Vec3 } from '../math/linear.ts';
import type { Rounding } from './jpeg/types.ts';

/** How encoded pixel values become linear light in the linear sRGB primaries, unbounded. */
export interface ColourProfile {
  /** For messages: `sRGB`, `Display P3`, or what the embedded profile calls itself. */
  readonly name: string;
  /** Where it came from: `embedded`, or `assumed` (no profile, or a broken one). */
  readonly source: 'embedded' | 'assumed';
  /** True when the profile states that values are proportional to light (transfer curve of gamma 1). */
  readonly isLinear: boolean;
  /** Per channel, encoded value 0–1 (index / (length − 1)) to linear 0–1. 256 entries for 8 bit, 65536 for 16 bit. */
  readonly decode: readonly [Float32Array, Float32Array, Float32Array];
  /** The profile's linear primaries to linear sRGB primaries, white kept. */
  readonly toLinearSrgb: Mat3;
}

/** A decoded photo after EXIF orientation: interleaved RGB, as encoded in the file, nothing converted. */
export interface Raster {
  readonly width_px: number;
  readonly height_px: number;
  readonly bits: 8 | 16;
  readonly data: Uint8Array | Uint16Array;
  readonly profile: ColourProfile;
  /** What the decoder rounded away; absent where nothing is known of it. */
  readonly rounding?: Rounding | undefined;
}

/** A position in the photo after EXIF orientation; the top-left pixel's centre is (.5, .5). */
export type PointPx = readonly [number, number];
/** A position on the card, mm from its top-left corner, x right, y down. */
export type PointMm = readonly [number, number];
/** Corners top-left, top-right, bottom-right, bottom-left of the thing itself. */
export type QuadPx = readonly [PointPx, PointPx, PointPx, PointPx];
export type QuadMm = readonly [PointMm, PointMm, PointMm, PointMm];

/** The colour of one area of a photo, before any correction: a mean over its accepted pixels. */
export interface Reading {
  /** Mean linear value per channel in the file's own primaries, 0–1. */
  readonly linear: Vec3;
  /** Standard error of that mean per channel from the pixels' scatter, linear. */
  readonly noise: Vec3;
  /** Fraction of the area's pixels clipped at the top / bottom of each channel (≥ 254 / ≤ 1 in 8 bit). */
  readonly clippedHigh: Vec3;
  readonly clippedLow: Vec3;
  /** Pixels that entered the mean. */
  readonly pixels: number;
  /** Fraction of the area's pixels left out as glare. */
  readonly glareFraction: number;
  /** Fraction of the area's pixels left out as dust or other dark or odd spots. */
  readonly dustFraction: number;
  /** Mean position of the accepted pixels. */
  readonly centre_px: PointPx;
}
