/** Raw photos (DNG): read by the pure reader; this door turns its complaints into refusals. */
import { SprayoutError, type Warning } from '../core/errors.ts';
import { dngPixels, readDng as rasterOfDng } from '../core/photo/dng/index.ts';
import type { Raster } from '../core/photo/types.ts';

/** Throws SprayoutError `image-too-large`, `image-unsupported`. */
export function readDng(
  bytes: Uint8Array,
  name: string,
  maxPixels: number,
): { raster: Raster; warnings: Warning[] } {
  try {
    if ((dngPixels(bytes) ?? 0) > maxPixels)
      throw new SprayoutError(
        'image-too-large',
        `${name} has more than ${maxPixels / 1e6} megapixels.`,
        'Export the photo smaller; 12 megapixels are plenty.',
      );
    return { raster: rasterOfDng(bytes), warnings: [] };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    const why = /offset|bounds|length/i.test(error.message) ? 'it is cut short' : error.message;
    throw new SprayoutError(
      'image-unsupported',
      `${name} is a raw photo (DNG) that cannot be read: ${why}.`,
      'Export it as 16-bit TIFF without changes to its colours, or as JPEG; or save DNG without lossy compression.',
    );
  }
}
