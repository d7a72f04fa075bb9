import type { Raster } from '../../photo/types.ts';
import type { Corners } from './quads.ts';
import { tagMemory } from './tag-code.ts';

/** The photo reduced for searching: one value a pixel, the mean of green values in `factor` × `factor` pixels. */
export interface Level {
  readonly width: number;
  readonly height: number;
  /** Brightness as the eye would have it, 0–255. */
  readonly data: Uint8Array;
  /** Pixels of the photo along one pixel of the level: photo position = level position × factor. */
  readonly factor: number;
}

/** Largest level of the first search; tags of 60 px in a 12-megapixel photo are still 15 px wide on it. */
const FIRST_SEARCH_PIXELS = 1e6;

/** Largest level that is searched at all, for memory's sake. */
const FINEST_SEARCH_PIXELS = 13e6;

/** The factors to search with, coarse to fine, each half of the one before. */
export function searchFactors({ width_px, height_px }: Raster): readonly number[] {
  const pixels = width_px * height_px;
  const finest = Math.ceil(Math.sqrt(pixels / FINEST_SEARCH_PIXELS));
  const factors = [Math.max(1, Math.ceil(Math.sqrt(pixels / FIRST_SEARCH_PIXELS)))];
  while (factors[factors.length - 1] > finest)
    factors.push(Math.max(finest, Math.floor(factors[factors.length - 1] / 2)));
  return factors;
}

/** Reduces a photo by a whole factor. From a factor of 4 on, four values of each block are enough. */
export function reduce(raster: Raster, factor: number): Level {
  const { width_px, data } = raster;
  const width = Math.floor(width_px / factor);
  const height = Math.floor(raster.height_px / factor);
  const step = factor >= 4 ? factor >> 1 : 1;
  const perSide = Math.ceil(factor / step);
  const share = 1 / (perSide * perSide);
  const sums = new Uint32Array(width);
  const out = new Uint8Array(width * height);
  const encode = raster.bits === 16 ? eightBitTable(raster.profile.isLinear) : undefined;
  for (let y = 0; y < height; y++) {
    sums.fill(0);
    for (let dy = 0; dy < factor; dy += step)
      for (let dx = 0; dx < factor; dx += step)
        addRow(data, 3 * ((y * factor + dy) * width_px + dx) + 1, 3 * factor, sums);
    const row = y * width;
    if (encode) for (let x = 0; x < width; x++) out[row + x] = encode[(sums[x] * share) | 0];
    else for (let x = 0; x < width; x++) out[row + x] = sums[x] * share;
  }
  return { width, height, data: out, factor };
}

function addRow(data: Raster['data'], first: number, stride: number, sums: Uint32Array): void {
  for (let x = 0, i = first; x < sums.length; x++, i += stride) sums[x] += data[i];
}

/** 16-bit values to 8 bit; values proportional to light get a power of 1/2.2, which gives shadows their due. */
function eightBitTable(isLinear: boolean): Uint8Array {
  return Uint8Array.from({ length: 65536 }, (_, i) => 255 * (i / 65535) ** (isLinear ? 1 / 2.2 : 1));
}

/**
 * Corners of the dark quadrilaterals on brighter ground that a level shows, positions on the level: of connected areas darker than
 * half way between the darkest and brightest value nearby (the tile threshold of Wang and Olson 2016, III-A), of a size that a tag can
 * have, with four straight sides.
 */
export function darkQuads({ data, width, height }: Level): Corners[] {
  const { code, place, grow } = tagMemory();
  const level = place(data.length);
  const dark = place(data.length);
  const tiles = place(code.thresholdBytes(width, height));
  new Uint8Array(grow(code.memory)).set(data, level);
  const runs = code.markDark(level, width, height, dark, tiles);
  const areas = place(code.areaBytes(runs));
  const outline = place(code.outlineBytes(width, height));
  const lines = place(96);
  // there are no more areas than runs, and one behind the last is tried
  const quads = place(64 * (runs + 1));
  const buffer = grow(code.memory);
  const count = code.findQuads(level, width, height, dark, runs, areas, outline, quads, lines);
  return Array.from({ length: count }, (_, i) => new Float64Array(buffer, quads + 64 * i, 8).slice());
}
