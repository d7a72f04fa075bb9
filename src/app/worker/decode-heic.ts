/** HEIC photos in the worker: the decoder and its wasm are fetched when the first one comes. */
import libheif from 'libheif-js/libheif-wasm/libheif.js';
import wasmUrl from 'libheif-js/libheif-wasm/libheif.wasm?url';
import { SprayoutError, type Warning } from '../../core/errors.ts';
import { decodeHeif, type Heif } from '../../core/photo/heif/decode.ts';
import type { Raster } from '../../core/photo/types.ts';

let loading: Promise<Heif> | undefined;

/**
 * Always this decoder, also where the browser has one of its own: a browser's hands over converted colours. Throws
 * `image-unsupported` when it cannot be fetched, and what `decodeHeif` throws.
 */
export async function decodeHeic(
  bytes: Uint8Array,
  name: string,
  maxPixels: number,
): Promise<{ readonly raster: Raster; readonly warnings: readonly Warning[] }> {
  loading ??= load();
  const heif = await loading.catch(() => {
    loading = undefined;
    throw new SprayoutError(
      'image-unsupported',
      `${name} is a HEIC photo, and what reads those could not be loaded.`,
      'Connect to the network once and try again: it is kept for later. Or export the photo as JPEG.',
    );
  });
  return decodeHeif(heif, bytes, name, maxPixels);
}

async function load(): Promise<Heif> {
  const response = await fetch(wasmUrl);
  if (!response.ok) throw new Error(`the HEIC decoder could not be fetched: ${response.status}`);
  const silent = (): void => {};
  // with its binary at hand the factory is done when it returns
  return libheif({
    wasmBinary: await response.arrayBuffer(),
    print: silent,
    printErr: silent,
  }) as unknown as Heif;
}
