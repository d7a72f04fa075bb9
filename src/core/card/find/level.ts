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
  const rowCount = Math.ceil(factor / step);
  const stride = 3 * width_px;
  const isWide = data.BYTES_PER_ELEMENT - 1;
  const encode = isWide ? eightBitTable(raster.profile.isLinear) : new Uint8Array(0);
  const { code, place, grow } = tagMemory();
  const at = {
    rows: place(rowCount * stride * data.BYTES_PER_ELEMENT),
    encode: place(encode.length),
    out: place(width * height),
  };
  const buffer = grow(code.memory);
  new Uint8Array(buffer).set(encode, at.encode);
  const rows = isWide ? new Uint16Array(buffer, at.rows) : new Uint8Array(buffer, at.rows);
  for (let y = 0; y < height; y++) {
    for (let row = 0; row < rowCount; row++) {
      const from = (y * factor + row * step) * stride;
      rows.set(data.subarray(from, from + stride), row * stride);
    }
    const out = at.out + y * width;
    code.reduceRow(at.rows, rowCount, stride, isWide, factor, step, width, at.encode, out);
  }
  return { width, height, data: new Uint8Array(buffer, at.out, width * height).slice(), factor };
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
