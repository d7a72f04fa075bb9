/** A quadrilateral of a photo seen square-on, in the file's own linear light. */
import { invert3, type Mat3, type Vec3 } from '../../math/linear.ts';
import { quadSides, quadToSquareMatrix, subQuad } from '../../photo/polygon.ts';
import type { PointMm, PointPx, QuadPx, Raster } from '../../photo/types.ts';

export interface Rectified {
  readonly width_px: number;
  readonly height_px: number;
  /** Interleaved linear values in the file's primaries, row by row from the thing's top left. */
  readonly linear: Float32Array;
  /** Position in the photo of a place (u, v) of the crop, 0–1. */
  readonly toPhoto: (u: number, v: number) => PointPx;
}

/** Samples a side of the smallest source pixel that a crop's pixel covers: the mean over them is the mean over the area. */
const SAMPLES_A_PIXEL = 2;
const MOST_SAMPLES = 64;
const ENLARGED = 2;

/**
 * The largest part of a panel's middle with the wanted ratio of width to height, true to the panel's own proportions;
 * `margin` of its width and height is trimmed on every side.
 */
export function middleWithAspect(
  corners_px: QuadPx,
  toMm: (at_px: PointPx) => PointMm,
  margin: number,
  aspect: number,
): QuadPx {
  const [width_mm, height_mm] = quadSides(corners_px.map(toMm));
  const own = width_mm / height_mm;
  const room = 1 - 2 * margin;
  const u = own > aspect ? (room * aspect) / own : room;
  const v = own > aspect ? room : (room * own) / aspect;
  return subQuad(corners_px, 0.5 - u / 2, 0.5 - v / 2, 0.5 + u / 2, 0.5 + v / 2);
}

/** At most twice as large as the photo shows it (a viewer would enlarge it less smoothly), and at most `longest_px`. */
export function cropSize(quad: QuadPx, aspect: number, longest_px: number): readonly [number, number] {
  const side = (i: number, j: number): number => Math.hypot(quad[i][0] - quad[j][0], quad[i][1] - quad[j][1]);
  const wide = Math.max(side(0, 1), side(3, 2));
  const high = Math.max(side(0, 3), side(1, 2));
  const own = ENLARGED * Math.max(wide, high * aspect);
  const width = Math.min(own, aspect >= 1 ? longest_px : longest_px * aspect);
  return [Math.max(8, Math.round(width)), Math.max(8, Math.round(width / aspect))];
}

/**
 * Each pixel of the crop is the mean of the light over the area of the photo that it covers, taken at points no more than
 * half a source pixel apart between which the photo is linear.
 */
export function rectify(raster: Raster, quad: QuadPx, width_px: number, height_px: number): Rectified {
  const m = invert3([...quadToSquareMatrix(quad)] as unknown as Mat3);
  const toPhoto = (u: number, v: number): PointPx => {
    const w = m[6] * u + m[7] * v + m[8];
    return [(m[0] * u + m[1] * v + m[2]) / w, (m[3] * u + m[4] * v + m[5]) / w];
  };
  const side = (i: number, j: number): number => Math.hypot(quad[i][0] - quad[j][0], quad[i][1] - quad[j][1]);
  const across = samplesFor(Math.max(side(0, 1), side(3, 2)) / width_px);
  const down = samplesFor(Math.max(side(0, 3), side(1, 2)) / height_px);
  const linear = new Float32Array(3 * width_px * height_px);
  const sum = new Float64Array(3);
  for (let y = 0; y < height_px; y++)
    for (let x = 0; x < width_px; x++) {
      sum.fill(0);
      for (let j = 0; j < down; j++)
        for (let i = 0; i < across; i++) {
          const [px, py] = toPhoto((x + (i + 0.5) / across) / width_px, (y + (j + 0.5) / down) / height_px);
          addSample(raster, px, py, sum);
        }
      const at = 3 * (y * width_px + x);
      for (let c = 0; c < 3; c++) linear[at + c] = sum[c] / (across * down);
    }
  return { width_px, height_px, linear, toPhoto };
}

function samplesFor(sourcePixels: number): number {
  return Math.max(1, Math.min(MOST_SAMPLES, Math.ceil(SAMPLES_A_PIXEL * sourcePixels)));
}

/** Adds the light at a point of the photo, linear between the four nearest pixels' centres. */
function addSample(
  { width_px, height_px, data, profile }: Raster,
  x: number,
  y: number,
  sum: Float64Array,
): void {
  const fx = Math.max(0, Math.min(width_px - 1, x - 0.5));
  const fy = Math.max(0, Math.min(height_px - 1, y - 0.5));
  const x0 = Math.floor(fx);
  const y0 = Math.floor(fy);
  const tx = fx - x0;
  const ty = fy - y0;
  const right = x0 + 1 < width_px ? 3 : 0;
  const below = y0 + 1 < height_px ? 3 * width_px : 0;
  const at = 3 * (y0 * width_px + x0);
  for (let c = 0; c < 3; c++) {
    const table = profile.decode[c];
    const i = at + c;
    const top = table[data[i]] * (1 - tx) + table[data[i + right]] * tx;
    const bottom = table[data[i + below]] * (1 - tx) + table[data[i + below + right]] * tx;
    sum[c] += top * (1 - ty) + bottom * ty;
  }
}

/** Mean of a crop's linear values. */
export function meanLinear({ linear }: Rectified): Vec3 {
  const sum = [0, 0, 0];
  for (let i = 0; i < linear.length; i += 3) for (let c = 0; c < 3; c++) sum[c] += linear[i + c];
  return sum.map((s) => (3 * s) / linear.length) as unknown as Vec3;
}
