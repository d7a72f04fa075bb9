/** HEIC photos: the pixels by libheif (wasm), loaded when the first one comes; the colour space by our own reader. */
import { createRequire } from 'node:module';
import type { Warning } from '../core/errors.ts';
import { decodeHeif, type Heif } from '../core/photo/heif/decode.ts';
import type { Raster } from '../core/photo/types.ts';

/** As `decodeHeif`. Throws SprayoutError `image-too-large`, `image-broken`. */
export async function readHeic(
  bytes: Uint8Array,
  name: string,
  maxPixels: number,
): Promise<{ raster: Raster; warnings: Warning[] }> {
  const heif = createRequire(import.meta.url)('libheif-js/wasm-bundle') as Heif;
  // the decoder logs what it cannot read; stdout belongs to the answer
  const { log } = console;
  console.log = () => {};
  try {
    return await decodeHeif(heif, bytes, name, maxPixels);
  } finally {
    console.log = log;
  }
}
