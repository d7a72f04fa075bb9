import type { Raster } from '../../photo/types.ts';
import { rootLight } from './root-light.ts';

/** A small copy of a photo in cube-root light, three floats a pixel: steps of one are about one L*. */
export interface ReducedPhoto {
  readonly width: number;
  readonly height: number;
  /** Photo pixels per reduced pixel, along each axis. */
  readonly factor: number;
  readonly root: Float32Array;
}

/** Largest reduced photo, pixels: a panel a tenth of the photo's width is still some 40 of them wide. */
const MOST_PIXELS = 150_000;
/** Photo pixels read along each axis of a reduced one. */
const READ_ALONG = 3;

export function reducePhoto(raster: Raster): ReducedPhoto {
  const { width_px, height_px } = raster;
  const factor = Math.max(1, Math.ceil(Math.sqrt((width_px * height_px) / MOST_PIXELS)));
  const width = Math.max(1, Math.floor(width_px / factor));
  const height = Math.max(1, Math.floor(height_px / factor));
  const along = Math.min(factor, READ_ALONG);
  const offsets = Array.from({ length: along }, (_, i) => Math.floor(((i + 0.5) * factor) / along));
  const root = new Float32Array(3 * width * height);
  const per = 1 / (along * along);
  const sums = new Float32Array(3 * width);
  for (let y = 0; y < height; y++) {
    sums.fill(0);
    for (const dy of offsets) {
      const row = 3 * (y * factor + dy) * width_px;
      for (const dx of offsets) addRow(raster, row + 3 * dx, 3 * factor, sums);
    }
    writeRoots(sums, per, root, 3 * y * width);
  }
  return { width, height, factor, root };
}

/** Adds the light of every `stride` values from `first` on, three a pixel. */
function addRow(
  { data, profile: { decode } }: Raster,
  first: number,
  stride: number,
  sums: Float32Array,
): void {
  const [red, green, blue] = decode;
  for (let i = 0, at = first; i < sums.length; i += 3, at += stride) {
    sums[i] += red[data[at]];
    sums[i + 1] += green[data[at + 1]];
    sums[i + 2] += blue[data[at + 2]];
  }
}

function writeRoots(sums: Float32Array, per: number, root: Float32Array, at: number): void {
  for (let i = 0; i < sums.length; i++) root[at + i] = rootLight(per * sums[i]);
}

/** Smooths in place along rows and columns with weights 1 2 1. */
export function smooth({ width, height, root }: ReducedPhoto): void {
  smoothLines(root, width, height, 3, 3 * width);
  smoothLines(root, height, width, 3 * width, 3);
}

/** Each of `lines` lines has `length` places, `step` floats apart; lines start `stride` floats apart. */
function smoothLines(
  values: Float32Array,
  length: number,
  lines: number,
  step: number,
  stride: number,
): void {
  for (let line = 0; line < lines; line++)
    for (let c = 0; c < 3; c++) {
      let at = line * stride + c;
      let before = values[at];
      for (let i = 0; i < length; i++, at += step) {
        const here = values[at];
        const after = i + 1 < length ? values[at + step] : here;
        values[at] = 0.25 * (before + 2 * here + after);
        before = here;
      }
    }
}

/** Length of the colour's gradient (Sobel), root steps per reduced pixel, the three channels together. */
export function gradientOf({ width, height, root }: ReducedPhoto): Float32Array {
  const gradient = new Float32Array(width * height);
  const down = 3 * width;
  for (let y = 1; y < height - 1; y++)
    for (let x = 1; x < width - 1; x++) {
      const at = y * down + 3 * x;
      let square = 0;
      for (let c = at; c < at + 3; c++) {
        const nw = root[c - down - 3];
        const ne = root[c - down + 3];
        const sw = root[c + down - 3];
        const se = root[c + down + 3];
        const gx = ne + 2 * root[c + 3] + se - nw - 2 * root[c - 3] - sw;
        const gy = sw + 2 * root[c + down] + se - nw - 2 * root[c - down] - ne;
        square += gx * gx + gy * gy;
      }
      gradient[y * width + x] = Math.sqrt(square) / 8;
    }
  return gradient;
}

/** Each value's largest neighbour in 3 × 3, itself included. */
export function dilate(values: Float32Array, width: number, height: number): Float32Array {
  const rows = new Float32Array(values.length);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const at = y * width + x;
      let most = values[at];
      if (x > 0 && values[at - 1] > most) most = values[at - 1];
      if (x + 1 < width && values[at + 1] > most) most = values[at + 1];
      rows[at] = most;
    }
  const out = new Float32Array(values.length);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const at = y * width + x;
      let most = rows[at];
      if (y > 0 && rows[at - width] > most) most = rows[at - width];
      if (y + 1 < height && rows[at + width] > most) most = rows[at + width];
      out[at] = most;
    }
  return out;
}
