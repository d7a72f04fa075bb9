import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { expect, it } from 'vitest';
import { decodeHeif, type Heif } from '../../src/core/photo/heif/decode.ts';
import { heifGrid, uprightSize } from '../../src/core/photo/heif/grid.ts';
import { decodeTiles, type HeifParts } from '../../src/core/photo/heif/tiles.ts';
import { turned } from '../../src/core/photo/turned.ts';

/** A corner of a rendered bench, 700 × 460 px as 3 × 2 HEVC tiles of 256 px: `tests/bench/make-tiled-heic.ts`. */
const tiled = await readFile(new URL('../fixtures/tiles-p3.heic', import.meta.url));
const heif = createRequire(import.meta.url)('libheif-js/wasm-bundle') as Heif & HeifParts;

it('a HEIC photo of tiles says where each lies', () => {
  expect(heifGrid(tiled)).toEqual({
    columns: 3,
    rows: 2,
    width_px: 700,
    height_px: 460,
    tiles: [1, 2, 3, 4, 5, 6],
    orientation: 1,
  });
});

it('its tiles, decoded one by one in any order, are the whole photo to the last digit', async () => {
  const { raster } = await decodeHeif(heif, tiled, 'tiled.heic', 1e9);
  const grid = heifGrid(tiled)!;
  const pixels = new Uint8Array(3 * 700 * 460);
  decodeTiles(heif, tiled, grid, [4, 1, 0], pixels);
  decodeTiles(heif, tiled, grid, [5, 2, 3], pixels);
  expect([raster.width_px, raster.height_px]).toEqual([700, 460]);
  expect(Buffer.compare(pixels, raster.data as Uint8Array)).toBe(0);
});

it('a photo held upright or upside down is laid upright as its tiles are decoded', () => {
  const grid = heifGrid(tiled)!;
  const stored = new Uint8Array(3 * 700 * 460);
  decodeTiles(heif, tiled, grid, grid.tiles.keys(), stored);
  for (const orientation of [3, 6, 8]) {
    const held = { ...grid, orientation };
    const upright = new Uint8Array(stored.length);
    decodeTiles(heif, tiled, held, grid.tiles.keys(), upright);
    const { width_px, height_px, data } = turned(
      { width_px: 700, height_px: 460, data: stored },
      orientation,
    );
    expect(uprightSize(held)).toEqual([width_px, height_px]);
    expect(Buffer.compare(upright, data)).toBe(0);
  }
});

it('a photo that is no grid, or is cut short, has no tiles to tell', async () => {
  const whole = await readFile(new URL('../fixtures/bench-p3.heic', import.meta.url));
  expect(heifGrid(whole)).toBeUndefined();
  expect(heifGrid(tiled.subarray(0, 200))).toBeUndefined();
  const cut = tiled.subarray(0, tiled.length >> 1);
  expect(() => decodeTiles(heif, cut, heifGrid(tiled)!, [5], new Uint8Array(3 * 700 * 460))).toThrow(
    RangeError,
  );
});
