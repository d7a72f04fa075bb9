/** A DNG as a photo: what the reader complains of becomes a refusal that says what to do. */
import { SprayoutError, type Warning } from '../../errors.ts';
import type { Raster } from '../types.ts';
import { dngPixels, readDng } from './index.ts';

/** Throws SprayoutError `image-too-large`, `image-unsupported`. */
export function dngPhoto(
  bytes: Uint8Array,
  name: string,
  maxPixels: number,
): { readonly raster: Raster; readonly warnings: Warning[] } {
  try {
    if ((dngPixels(bytes) ?? 0) > maxPixels)
      throw new SprayoutError(
        'image-too-large',
        `${name} has more than ${maxPixels / 1e6} megapixels.`,
        'Export the photo smaller; 12 megapixels are plenty.',
      );
    return { raster: readDng(bytes), warnings: [] };
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
