/** A panel's middle as a square grid of light on a millimetre scale. */
import { applyHomography, fitHomography } from '../../card/homography.ts';
import { multiply3, type Vec3 } from '../../math/linear.ts';
import { quadSides } from '../../photo/polygon.ts';
import type { PointMm, PointPx, QuadPx, Raster } from '../../photo/types.ts';

export interface GridOfLight {
  readonly columns: number;
  readonly rows: number;
  /** Samples a millimetre of the grid; not finer than the photo's own pixels. */
  readonly per_mm: number;
  /** Pixels a millimetre of the photo here. */
  readonly photo_px_per_mm: number;
  /** Luminance-like light (linear), row by row; NaN where the photo is clipped. */
  readonly light: Float64Array;
  readonly size_mm: readonly [number, number];
}

/** The finest grid worth taking: finer flakes than those it shows are not told apart by eye at arm's length. */
const FINEST_PER_MM = 12;
const MARGIN = 0.12;

/**
 * Light over a panel's middle. `toMm` is the card's geometry: it scales the panel; `toLight` is the light of what the
 * file's linear values say, where a tone curve lies between. Undefined when the panel is turned out of the card's plane
 * so far that it has no size there.
 */
export function gridOfLight(
  raster: Raster,
  corners_px: QuadPx,
  toMm: (p: PointPx) => PointMm,
  toLight: (v: number) => number = (v) => v,
): GridOfLight | undefined {
  const [width, height] = quadSides(corners_px.map(toMm));
  const photo_px_per_mm = pxPerMm(corners_px, [width, height]);
  if (!(photo_px_per_mm > 0.5 && Number.isFinite(photo_px_per_mm))) return undefined;
  const per_mm = Math.min(FINEST_PER_MM, photo_px_per_mm);
  const size_mm = [width * (1 - 2 * MARGIN), height * (1 - 2 * MARGIN)] as const;
  const columns = Math.floor(size_mm[0] * per_mm);
  const rows = Math.floor(size_mm[1] * per_mm);
  if (columns < 24 || rows < 24) return undefined;
  const toPx = fitHomography([0, 0, 1, 0, 1, 1, 0, 1], corners_px.flat());
  const light = new Float64Array(columns * rows);
  // every grid cell is a mean over the photo's pixels in it, so that a finer photo tells the same
  const inside = Math.max(1, Math.ceil(photo_px_per_mm / per_mm));
  for (let y = 0; y < rows; y++)
    for (let x = 0; x < columns; x++) {
      let sum = 0;
      for (let sy = 0; sy < inside; sy++)
        for (let sx = 0; sx < inside; sx++) {
          const u = MARGIN + ((x + (sx + 0.5) / inside) / columns) * (1 - 2 * MARGIN);
          const v = MARGIN + ((y + (sy + 0.5) / inside) / rows) * (1 - 2 * MARGIN);
          const [px, py] = applyHomography(toPx, u, v);
          sum += toLight(lightAt(raster, px, py));
        }
      light[y * columns + x] = sum / (inside * inside);
    }
  return { columns, rows, per_mm, photo_px_per_mm, light, size_mm };
}

/** Pixels a millimetre of the photo along the coarser of the sides that meet in the first corner. */
export function pxPerMm(
  [first, right, , below]: QuadPx,
  [width_mm, height_mm]: readonly [number, number],
): number {
  const length = (to: PointPx): number => Math.hypot(to[0] - first[0], to[1] - first[1]);
  return Math.min(length(right) / width_mm, length(below) / height_mm);
}

/** Mean of a grid's light where it is not clipped; 0 where all is. */
export function meanLight({ light }: GridOfLight): number {
  let [total, n] = [0, 0];
  for (const v of light)
    if (!Number.isNaN(v)) {
      total += v;
      n++;
    }
  return total / Math.max(1, n);
}

/** Bilinear luminance at a place; NaN beside a clipped pixel. */
export function lightAt({ width_px, height_px, data, bits, profile }: Raster, x: number, y: number): number {
  const cx = Math.min(width_px - 1.001, Math.max(0, x - 0.5));
  const cy = Math.min(height_px - 1.001, Math.max(0, y - 0.5));
  const [ix, iy] = [Math.floor(cx), Math.floor(cy)];
  const [fx, fy] = [cx - ix, cy - iy];
  const top = bits === 8 ? 254 : 65000;
  let sum = 0;
  for (let k = 0; k < 4; k++) {
    const at = 3 * ((iy + (k >> 1)) * width_px + ix + (k & 1));
    if (data[at] >= top || data[at + 1] >= top || data[at + 2] >= top) return Number.NaN;
    const own: Vec3 = [
      profile.decode[0][data[at]],
      profile.decode[1][data[at + 1]],
      profile.decode[2][data[at + 2]],
    ];
    const [r, g, b] = multiply3(profile.toLinearSrgb, own);
    // what the eye weighs (ITU-R BT.709 luminance of linear sRGB)
    sum += (k & 1 ? fx : 1 - fx) * (k >> 1 ? fy : 1 - fy) * (0.2126 * r + 0.7152 * g + 0.0722 * b);
  }
  return Math.max(sum, 0);
}
