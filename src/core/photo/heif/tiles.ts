/** The tiles of a HEIC photo one by one, so that several threads can share them. */
import type { HeifGrid } from './grid.ts';
import { decodeTile, type HevcParts } from './hevc.ts';
import type { DecodedTile } from './rgb.ts';

/**
 * Decodes tiles (by their place in the grid, taken one by one) into a photo: RGB, 8 bit, turned upright. Throws RangeError when one cannot be decoded, or is none
 * of the usual kind (see `decodeTile`).
 */
export function decodeTiles(
  hevc: HevcParts,
  bytes: Uint8Array,
  grid: HeifGrid,
  places: Iterable<number>,
  photo: Uint8Array,
): void {
  for (const place of places) {
    const tile = decodeTile(hevc, bytes, grid.tiles[place], grid.tileWidth_px, grid.tileHeight_px);
    layTile(tile, grid, place, photo);
  }
}

/** Places of tiles that no other thread has taken: some take longer than others. `next` is the first untaken, shared. */
export function* untakenTiles(next: Int32Array, grid: HeifGrid): Generator<number> {
  for (;;) {
    const place = Atomics.add(next, 0, 1);
    if (place >= grid.tiles.length) return;
    yield place;
  }
}

/** Lays a tile where it belongs in the picture, turned upright. */
export function layTile(
  { data, width_px, height_px, stride }: DecodedTile,
  grid: HeifGrid,
  place: number,
  into: Uint8Array,
): void {
  const left = (place % grid.columns) * width_px;
  const top = Math.floor(place / grid.columns) * height_px;
  const columns = Math.min(width_px, grid.width_px - left);
  const rows = Math.min(height_px, grid.height_px - top);
  const { first, right, down } = stepsOf(grid);
  for (let y = 0; y < rows; y++) {
    const to = 3 * (first + left * right + (top + y) * down);
    const row = data.subarray(y * stride, y * stride + 3 * columns);
    if (right === 1) into.set(row, to);
    else
      for (let x = 0, at = to; x < row.length; x += 3, at += 3 * right) {
        into[at] = row[x];
        into[at + 1] = row[x + 1];
        into[at + 2] = row[x + 2];
      }
  }
}

/** In the upright picture: where the stored one's first pixel lies, and how far it is to its neighbours, in pixels. */
function stepsOf({ orientation, width_px: w, height_px: h }: HeifGrid): {
  readonly first: number;
  readonly right: number;
  readonly down: number;
} {
  switch (orientation) {
    case 3:
      return { first: w * h - 1, right: -1, down: -w };
    case 6:
      return { first: h - 1, right: h, down: -1 };
    case 8:
      return { first: (w - 1) * h, right: -h, down: 1 };
    default:
      return { first: 0, right: 1, down: w };
  }
}
