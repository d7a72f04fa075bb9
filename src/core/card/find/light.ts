import type { Raster } from '../../photo/types.ts';

/** A raster whose light is read: (R + 2 G + B) / 4, linear. */
export interface Light {
  readonly data: Raster['data'];
  readonly width: number;
  readonly lastX: number;
  readonly lastY: number;
  readonly red: Float32Array;
  readonly green: Float32Array;
  readonly blue: Float32Array;
}

export function lightOf({ width_px, height_px, data, profile }: Raster): Light {
  const [red, green, blue] = profile.decode;
  return { data, width: width_px, lastX: width_px - 1, lastY: height_px - 1, red, green, blue };
}
