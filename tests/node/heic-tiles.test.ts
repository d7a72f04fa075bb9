import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { expect, it } from 'vitest';
import { decodeHeif, type Heif } from '../../src/core/photo/heif/decode.ts';
import { type HeifGrid, heifGrid, uprightSize } from '../../src/core/photo/heif/grid.ts';
import { decodeByStandard } from '../../src/core/photo/heif/standard.ts';
import { decodeTiles } from '../../src/core/photo/heif/tiles.ts';
import { turned } from '../../src/core/photo/turned.ts';
import { nativeCodecs, newHevc, newPlanes } from '../../src/node/hevc.ts';

const fixture = (name: string): Promise<Buffer> => readFile(new URL(`../fixtures/${name}`, import.meta.url));
/** A corner of a rendered bench, 700 × 460 px as 3 × 2 HEVC tiles of 256 px: `tests/bench/make-tiled-heic.ts`. */
const tiled = await fixture('tiles-p3.heic');
const inOnePiece = await fixture('bench-p3.heic');
const heif = createRequire(import.meta.url)('libheif-js/wasm-bundle') as Heif;

function pixelsOf(
  file: Buffer,
  grid: HeifGrid,
  hevc = newHevc(),
  places = [...grid.tiles.keys()],
): Uint8Array {
  const photo = new Uint8Array(3 * grid.width_px * grid.height_px);
  decodeTiles(hevc, file, grid, places, photo);
  return photo;
}

it('a HEIC photo of tiles says where each lies', () => {
  const grid = heifGrid(tiled)!;
  expect(grid).toMatchObject({ columns: 3, rows: 2, width_px: 700, height_px: 460, orientation: 1 });
  expect([grid.tileWidth_px, grid.tileHeight_px, grid.tiles.length]).toEqual([256, 256, 6]);
});

it('one in one piece is a single tile', () => {
  const { columns, rows, width_px, tileWidth_px } = heifGrid(inOnePiece)!;
  expect([columns, rows, width_px, tileWidth_px]).toEqual([1, 1, 1200, 1200]);
});

/**
 * 192 × 192 px of a rendered bench, coded by x265 3.5 with the MD5 sums of its planes (ITU-T H.265, D.3.19: "decoded
 * picture hash"), which the decoder compares with its own.
 */
const withSums = await fixture('checksum.heic');

it('is decoded to the very planes that its encoder had', () => {
  const grid = heifGrid(withSums)!;
  expect(() => pixelsOf(withSums, grid)).not.toThrow();
  // the sums are last in the file, one for each plane
  for (const fromEnd of [3, 20, 40]) {
    const bent = Buffer.from(withSums);
    bent[bent.length - fromEnd] ^= 1;
    expect(() => pixelsOf(bent, grid)).toThrow(RangeError);
  }
});

it('is what libheif makes of it, but for a step where that smooths the edges of blocks otherwise', async () => {
  for (const file of [tiled, inOnePiece, withSums]) {
    const { raster } = await decodeHeif(heif, file, 'photo.heic', 1e9);
    const grid = heifGrid(file)!;
    expect([grid.width_px, grid.height_px]).toEqual([raster.width_px, raster.height_px]);
    const apart = pixelsOf(file, grid).map((v, i) => Math.abs(v - raster.data[i]));
    expect(apart.reduce((sum, d) => sum + d, 0) / apart.length).toBeLessThan(0.2);
    expect(apart.reduce((most, d) => Math.max(most, d), 0)).toBeLessThan(10);
  }
});

it('is the same whatever the order of its tiles', () => {
  const grid = heifGrid(tiled)!;
  expect(Buffer.compare(pixelsOf(tiled, grid, newHevc(), [4, 1, 0, 5, 2, 3]), pixelsOf(tiled, grid))).toBe(0);
});

it('a photo held upright or upside down is laid upright as its tiles are decoded', () => {
  const grid = heifGrid(tiled)!;
  const hevc = newHevc();
  const stored = pixelsOf(tiled, grid, hevc);
  for (const orientation of [3, 6, 8]) {
    const held = { ...grid, orientation };
    const { width_px, height_px, data } = turned(
      { width_px: 700, height_px: 460, data: stored },
      orientation,
    );
    expect(uprightSize(held)).toEqual([width_px, height_px]);
    expect(Buffer.compare(pixelsOf(tiled, held, hevc), data)).toBe(0);
  }
});

it('a tile that is cut short, bent, or larger than the container says is refused', () => {
  const grid = heifGrid(tiled)!;
  expect(heifGrid(tiled.subarray(0, 200))).toBeUndefined();
  expect(() => pixelsOf(tiled.subarray(0, tiled.length >> 1), grid, newHevc(), [5])).toThrow(RangeError);
  const [{ from, to }] = grid.tiles[2].data;
  const bent = Buffer.from(tiled);
  bent.fill(0x5a, from + 40, to);
  expect(() => pixelsOf(bent, grid, newHevc(), [2])).toThrow(RangeError);
  const smaller = { ...grid, tileWidth_px: 64, tileHeight_px: 64 };
  expect(() => pixelsOf(tiled, smaller, newHevc(), [0])).toThrow(RangeError);
});

/** The optional package: this machine's own build of FFmpeg, another decoder altogether. */
const codecs = nativeCodecs();

async function pixelsByStandard(file: Buffer, grid: HeifGrid): Promise<Uint8Array> {
  const photo = new Uint8Array(3 * grid.width_px * grid.height_px);
  await decodeByStandard(codecs!, newPlanes(), file, grid, photo);
  return photo;
}

it.skipIf(!codecs)("the machine's own decoder gives the very same pixels", async () => {
  for (const file of [tiled, inOnePiece]) {
    const grid = heifGrid(file)!;
    for (const orientation of [1, 6]) {
      const held = { ...grid, orientation };
      expect(Buffer.compare(await pixelsByStandard(file, held), pixelsOf(file, held))).toBe(0);
    }
  }
});

it.skipIf(!codecs)("the machine's own decoder is not asked where damage would pass it by", async () => {
  const grid = heifGrid(tiled)!;
  const [{ from, to }] = grid.tiles[2].data;
  const halfWritten = Buffer.from(tiled).fill(0, (from + to) >> 1, to);
  await expect(pixelsByStandard(halfWritten, grid)).rejects.toThrow('broken');
  await expect(pixelsByStandard(tiled.subarray(0, to - 10), grid)).rejects.toThrow('cut short');
  await expect(pixelsByStandard(withSums, heifGrid(withSums)!)).rejects.toThrow('sums');
  const smaller = { ...grid, tileWidth_px: 64, tileHeight_px: 64 };
  await expect(pixelsByStandard(tiled, smaller)).rejects.toThrow('another size');
});
