import type { Raster } from '../../photo/types.ts';

/** Linear light at a place in the photo, 0–1: (R + 2 G + B) / 4, bilinear between pixel centres. */
export type LightAt = (x_px: number, y_px: number) => number;

/** Reads linear light anywhere in a raster; beyond its border the border pixels go on. */
export function lightOf(raster: Raster): LightAt {
  const { width_px: width, height_px: height, data } = raster;
  const [red, green, blue] = raster.profile.decode;
  const lastX = width - 1;
  const lastY = height - 1;
  const at = (index: number): number =>
    0.25 * red[data[index]] + 0.5 * green[data[index + 1]] + 0.25 * blue[data[index + 2]];
  return (x, y) => {
    const px = Math.min(lastX, Math.max(0, x - 0.5));
    const py = Math.min(lastY, Math.max(0, y - 0.5));
    const x0 = Math.floor(px);
    const y0 = Math.floor(py);
    const right = x0 < lastX ? 3 : 0;
    const down = y0 < lastY ? 3 * width : 0;
    const index = 3 * (y0 * width + x0);
    const fx = px - x0;
    const fy = py - y0;
    const top = at(index) * (1 - fx) + at(index + right) * fx;
    const bottom = at(index + down) * (1 - fx) + at(index + down + right) * fx;
    return top * (1 - fy) + bottom * fy;
  };
}
