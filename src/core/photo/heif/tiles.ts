/** Tiles of a HEIC photo one by one, so that several threads can share them: libheif decodes a whole grid in one. */
import type { HeifGrid } from './grid.ts';

/** What of libheif's C interface is used; errors come back as a structure whose first number is the code, 0 for none. */
export interface HeifParts {
  readonly HEAPU8: Uint8Array;
  _malloc(size: number): number;
  _free(at: number): void;
  _heif_context_alloc(): number;
  _heif_context_free(context: number): void;
  _heif_context_read_from_memory(
    error: number,
    context: number,
    at: number,
    size: number,
    options: number,
  ): void;
  _heif_context_get_image_handle(error: number, context: number, item: number, out: number): void;
  _heif_image_handle_release(handle: number): void;
  _heif_decode_image(
    error: number,
    handle: number,
    out: number,
    space: number,
    chroma: number,
    options: number,
  ): void;
  _heif_image_get_width(image: number, channel: number): number;
  _heif_image_get_height(image: number, channel: number): number;
  _heif_image_get_plane_readonly2(image: number, channel: number, stride: number): number;
  _heif_image_release(image: number): void;
}

/** heif_colorspace_RGB, heif_chroma_interleaved_RGB and heif_channel_interleaved of libheif's heif_image.h. */
const RGB = 1;
const INTERLEAVED_RGB = 10;
const INTERLEAVED = 10;

/**
 * Decodes tiles (by their place in the grid, taken one by one) into the whole picture's RGB, 8 bit, turned upright.
 * Throws RangeError when one cannot be decoded.
 */
export function decodeTiles(
  heif: HeifParts,
  bytes: Uint8Array,
  grid: HeifGrid,
  places: Iterable<number>,
  into: Uint8Array,
): void {
  const file = heif._malloc(bytes.length);
  const room = heif._malloc(32);
  const context = heif._heif_context_alloc();
  const [error, out] = [room, room + 16];
  const numberAt = (at: number): number =>
    new DataView(heif.HEAPU8.buffer, heif.HEAPU8.byteOffset).getUint32(at, true);
  const check = (): void => {
    if (numberAt(error) !== 0) throw new RangeError('a tile of the photo cannot be decoded');
  };
  try {
    heif.HEAPU8.set(bytes, file);
    heif._heif_context_read_from_memory(error, context, file, bytes.length, 0);
    check();
    for (const place of places) {
      heif._heif_context_get_image_handle(error, context, grid.tiles[place], out);
      check();
      const handle = numberAt(out);
      heif._heif_decode_image(error, handle, out, RGB, INTERLEAVED_RGB, 0);
      heif._heif_image_handle_release(handle);
      check();
      const image = numberAt(out);
      const plane = heif._heif_image_get_plane_readonly2(image, INTERLEAVED, out);
      const stride = numberAt(out);
      const width = heif._heif_image_get_width(image, INTERLEAVED);
      const height = heif._heif_image_get_height(image, INTERLEAVED);
      const size = { width, height, stride };
      layTile(heif.HEAPU8.subarray(plane, plane + height * stride), size, grid, place, into);
      heif._heif_image_release(image);
    }
  } finally {
    heif._heif_context_free(context);
    heif._free(room);
    heif._free(file);
  }
}

interface TileSize {
  readonly width: number;
  readonly height: number;
  /** Bytes from row to row. */
  readonly stride: number;
}

function layTile(
  pixels: Uint8Array,
  { width, height, stride }: TileSize,
  grid: HeifGrid,
  place: number,
  into: Uint8Array,
): void {
  const left = (place % grid.columns) * width;
  const top = Math.floor(place / grid.columns) * height;
  const columns = Math.min(width, grid.width_px - left);
  const rows = Math.min(height, grid.height_px - top);
  const { first, right, down } = stepsOf(grid);
  for (let y = 0; y < rows; y++) {
    const to = 3 * (first + left * right + (top + y) * down);
    const row = pixels.subarray(y * stride, y * stride + 3 * columns);
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
