/** HEIC photos in the worker: the decoders are fetched when the first photo comes that needs them. */

import libheif from 'libheif-js/libheif-wasm/libheif.js';
import heifUrl from 'libheif-js/libheif-wasm/libheif.wasm?url';
import hevcUrl from '../../../compiled/hevc/hevc.wasm?url';
import { SprayoutError, type Warning } from '../../core/errors.ts';
import { decodeHeif, type Heif, refuseTooLarge, withProfile } from '../../core/photo/heif/decode.ts';
import { type HeifGrid, heifGrid, uprightSize } from '../../core/photo/heif/grid.ts';
import { startHevc } from '../../core/photo/heif/hevc.ts';
import { decodeTiles } from '../../core/photo/heif/tiles.ts';
import type { Raster } from '../../core/photo/types.ts';

/**
 * Always these decoders, also where the browser has one of its own: a browser's hands over converted colours. Throws
 * `image-unsupported` when they cannot be fetched, and what `decodeHeif` throws.
 */
export async function decodeHeic(
  bytes: Uint8Array,
  name: string,
  maxPixels: number,
): Promise<{ readonly raster: Raster; readonly warnings: readonly Warning[] }> {
  const grid = heifGrid(bytes);
  if (grid) {
    refuseTooLarge(name, grid.width_px, grid.height_px, maxPixels);
    const data = await tilesOf(bytes, grid);
    const [width_px, height_px] = uprightSize(grid);
    if (data) return withProfile(bytes, name, { width_px, height_px, data });
  }
  const heif = await heifOnce().catch(() => {
    throw new SprayoutError(
      'image-unsupported',
      `${name} is a HEIC photo, and what reads those could not be loaded.`,
      'Connect to the network once and try again: it is kept for later. Or export the photo as JPEG.',
    );
  });
  return decodeHeif(heif, bytes, name, maxPixels);
}

/** The picture, upright; undefined where it is of an unusual kind or broken: libheif then reads it, or says why not. */
async function tilesOf(bytes: Uint8Array, grid: HeifGrid): Promise<Uint8Array | undefined> {
  try {
    const hevc = startHevc(await hevcOnce());
    const photo = new Uint8Array(3 * grid.width_px * grid.height_px);
    decodeTiles(hevc, bytes, grid, grid.tiles.keys(), photo);
    return photo;
  } catch {
    return undefined;
  }
}

const hevcOnce = once(async () => WebAssembly.compile(await fetched(hevcUrl)));

const heifOnce = once(async () => {
  const silent = (): void => {};
  // with its binary at hand the factory is done when it returns
  return libheif({
    wasmBinary: await fetched(heifUrl),
    print: silent,
    printErr: silent,
  }) as unknown as Heif;
});

/** Loads when first asked, and again after a failure. */
function once<T>(load: () => Promise<T>): () => Promise<T> {
  let loading: Promise<T> | undefined;
  return () => {
    loading ??= load().catch((error: unknown) => {
      loading = undefined;
      throw error;
    });
    return loading;
  };
}

async function fetched(url: string): Promise<ArrayBuffer> {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`a HEIC decoder could not be fetched: ${response.status}`);
  return response.arrayBuffer();
}
