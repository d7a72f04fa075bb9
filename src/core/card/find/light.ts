import type { Raster } from '../../photo/types.ts';

/** A raster as `lightAt` reads it. */
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

/**
 * Linear light at a place in the photo, 0–1: (R + 2 G + B) / 4, bilinear between pixel centres; beyond its border the
 * border pixels go on.
 */
export function lightAt(light: Light, x_px: number, y_px: number): number {
  const { width, lastX, lastY } = light;
  const px = Math.min(lastX, Math.max(0, x_px - 0.5));
  const py = Math.min(lastY, Math.max(0, y_px - 0.5));
  const x0 = Math.floor(px);
  const y0 = Math.floor(py);
  const right = x0 < lastX ? 3 : 0;
  const down = y0 < lastY ? 3 * width : 0;
  const index = 3 * (y0 * width + x0);
  const fx = px - x0;
  const fy = py - y0;
  const top = pixelAt(light, index) * (1 - fx) + pixelAt(light, index + right) * fx;
  const bottom = pixelAt(light, index + down) * (1 - fx) + pixelAt(light, index + down + right) * fx;
  return top * (1 - fy) + bottom * fy;
}

function pixelAt({ data, red, green, blue }: Light, index: number): number {
  return 0.25 * red[data[index]] + 0.5 * green[data[index + 1]] + 0.25 * blue[data[index + 2]];
}
