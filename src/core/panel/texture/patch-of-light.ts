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
  /** Luminance-like light (linear), row by row; NaN where a lamp is mirrored so brightly that the photo is clipped. */
  readonly light: Float64Array;
  /** 1 where the photo is clipped, so that there is that much light at least. */
  readonly clipped: Uint8Array;
  readonly size_mm: readonly [number, number];
}

/** The finest grid worth taking: finer flakes than those it shows are not told apart by eye at arm's length. */
const FINEST_PER_MM = 12;
const MARGIN = 0.12;
/** Clipped places wider than flakes are a mirrored lamp. */
const MIRRORED_MM = 2;

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
  const clipped = new Uint8Array(columns * rows);
  // every grid cell is a mean over the photo's pixels in it, so that a finer photo tells the same
  const steps = Math.max(1, Math.ceil(photo_px_per_mm / per_mm));
  for (let y = 0; y < rows; y++)
    for (let x = 0; x < columns; x++) {
      let sum = 0;
      for (let sy = 0; sy < steps; sy++)
        for (let sx = 0; sx < steps; sx++) {
          const u = MARGIN + ((x + (sx + 0.5) / steps) / columns) * (1 - 2 * MARGIN);
          const v = MARGIN + ((y + (sy + 0.5) / steps) / rows) * (1 - 2 * MARGIN);
          const [px, py] = applyHomography(toPx, u, v);
          sum += toLight(lightAtLeast(raster, px, py));
          if (isClippedAt(raster, px, py)) clipped[y * columns + x] = 1;
        }
      light[y * columns + x] = sum / (steps * steps);
    }
  leaveOutMirrored(light, clipped, columns, rows, Math.max(3, Math.round(MIRRORED_MM * per_mm)));
  return { columns, rows, per_mm, photo_px_per_mm, light, clipped, size_mm };
}

/** Squares of `side` cells that are clipped throughout hold no light that counts. */
function leaveOutMirrored(
  light: Float64Array,
  clipped: Uint8Array,
  columns: number,
  rows: number,
  side: number,
): void {
  if (!clipped.includes(1)) return;
  // clipped cells above and to the left of each
  const before = new Int32Array((columns + 1) * (rows + 1));
  for (let y = 0; y < rows; y++)
    for (let x = 0, row = 0; x < columns; x++) {
      row += clipped[y * columns + x];
      before[(y + 1) * (columns + 1) + x + 1] = before[y * (columns + 1) + x + 1] + row;
    }
  for (let y = 0; y + side <= rows; y++)
    for (let x = 0; x + side <= columns; x++) {
      const [top, bottom] = [y * (columns + 1), (y + side) * (columns + 1)];
      const within =
        before[bottom + x + side] - before[bottom + x] - before[top + x + side] + before[top + x];
      if (within === side * side)
        for (let k = 0; k < side; k++)
          light.fill(Number.NaN, (y + k) * columns + x, (y + k) * columns + x + side);
    }
}

/** Pixels a millimetre of the photo along the coarser of the sides that meet in the first corner. */
export function pxPerMm(
  [first, right, , below]: QuadPx,
  [width_mm, height_mm]: readonly [number, number],
): number {
  const length = (to: PointPx): number => Math.hypot(to[0] - first[0], to[1] - first[1]);
  return Math.min(length(right) / width_mm, length(below) / height_mm);
}

/** Mean of a grid's light where no lamp is mirrored; 0 where one is throughout. */
export function meanLight({ light }: Pick<GridOfLight, 'light'>): number {
  let [total, n] = [0, 0];
  for (const v of light)
    if (!Number.isNaN(v)) {
      total += v;
      n++;
    }
  return total / Math.max(1, n);
}

/** Bilinear luminance at a place; NaN beside a clipped pixel. */
export function lightAt(raster: Raster, x: number, y: number): number {
  return isClippedAt(raster, x, y) ? Number.NaN : lightAtLeast(raster, x, y);
}

/** Bilinear luminance at a place, clipped pixels as they are. */
function lightAtLeast({ width_px, height_px, data, profile }: Raster, x: number, y: number): number {
  const [cx, cy] = [inside(x, width_px), inside(y, height_px)];
  const [ix, iy] = [Math.floor(cx), Math.floor(cy)];
  const [fx, fy] = [cx - ix, cy - iy];
  let sum = 0;
  for (let k = 0; k < 4; k++) {
    const at = 3 * ((iy + (k >> 1)) * width_px + ix + (k & 1));
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

/** True when a channel of a pixel beside the place is full. */
function isClippedAt({ width_px, height_px, data, bits }: Raster, x: number, y: number): boolean {
  const first = Math.floor(inside(y, height_px)) * width_px + Math.floor(inside(x, width_px));
  const top = bits === 8 ? 254 : 65000;
  for (const pixel of [first, first + 1, first + width_px, first + width_px + 1])
    if (data[3 * pixel] >= top || data[3 * pixel + 1] >= top || data[3 * pixel + 2] >= top) return true;
  return false;
}

/** A place counted from the middle of the first pixel, held where four pixels lie around it. */
const inside = (at: number, length: number): number => Math.min(length - 1.001, Math.max(0, at - 0.5));
