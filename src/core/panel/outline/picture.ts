/** The small picture of a photo that the panel finder's network is shown. */
import type { Raster } from '../../photo/types.ts';
import { readPicture } from './map-code.ts';
import type { FinderPicture } from './maps.ts';

/** Pixels of the network's picture: what it was trained on, 512 × 384. */
const PIXELS = 512 * 384;
const MULTIPLE = 32;
/** Photo pixels read along each axis of one of the picture. */
const READ_ALONG = 4;

/** A small copy for the network: means of linear light, encoded anew. */
export function pictureForFinder(raster: Raster): FinderPicture {
  const { width_px, height_px } = raster;
  const scale = Math.sqrt(PIXELS / (width_px * height_px));
  const side = (px: number): number => Math.max(2, Math.round((px * scale) / MULTIPLE)) * MULTIPLE;
  const [width, height] = [side(width_px), side(height_px)];
  const planes = readPicture(raster, {
    width,
    height,
    perPixel: READ_ALONG,
    columns: readingPlaces(width, width_px, 3),
    rows: readingPlaces(height, height_px, 1),
    encode: encodingTable(),
  });
  return { width, height, planes };
}

/** Photo rows or columns read for each of the picture's, times `step`. */
function readingPlaces(count: number, of: number, step: number): Int32Array {
  const wide = of / count;
  return Int32Array.from({ length: count * READ_ALONG }, (_, i) => {
    const at = ((i + 0.5) / READ_ALONG) * wide;
    return step * Math.min(of - 1, Math.floor(at));
  });
}

let table: Float32Array | undefined;
/** sRGB encoding (IEC 61966-2-1) of linear 0–1 in 8192 steps. */
function encodingTable(): Float32Array {
  table ??= Float32Array.from({ length: 8193 }, (_, i) => {
    const linear = i / 8192;
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
  });
  return table;
}
