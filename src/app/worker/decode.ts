/** Decodes a photo in the browser: pixels as encoded in the file, upright, nothing converted. */
import { SprayoutError, type Warning } from '../../core/errors.ts';
import {
  adobeRgbProfile,
  profileFromIcc,
  type Raster,
  saysAdobeRgb,
  srgbProfile,
} from '../../core/photo/index.ts';
import { decoderRounding } from '../../core/photo/jpeg/index.ts';
import type { PictureHeader } from '../../core/photo/picture-header.ts';
import { sniffImage } from '../../core/photo/sniff.ts';
import { MAX_PIXELS, refuseByContent, refuseBySize } from './refuse-photo.ts';

/** Rows read back at once, so that the decoded picture is never held twice. */
const STRIP_ROWS = 512;

export interface DecodedPhoto {
  readonly raster: Raster;
  readonly warnings: readonly Warning[];
}

/** Throws SprayoutError `file-empty`, `file-too-large`, `image-…`; `name` is what messages call the photo. */
export async function decodePhoto(blob: Blob, name: string): Promise<DecodedPhoto> {
  refuseBySize(blob.size, name);
  const bytes = new Uint8Array(await blob.arrayBuffer());
  const header = refuseByContent(bytes, name);
  // loaded only when such a photo comes
  switch (sniffImage(bytes).type) {
    case 'heic':
      return (await import('./decode-heic.ts')).decodeHeic(bytes, name, MAX_PIXELS);
    case 'dng':
      return (await import('../../core/photo/dng/photo.ts')).dngPhoto(bytes, name, MAX_PIXELS);
    default:
      return decodedByBrowser(blob, bytes, header, name);
  }
}

async function decodedByBrowser(
  blob: Blob,
  bytes: Uint8Array,
  header: PictureHeader,
  name: string,
): Promise<DecodedPhoto> {
  const decoding = pixelsOf(blob, name);
  // read while the browser decodes; a failure there is told below
  decoding.catch(() => {});
  const rounding = decoderRounding(bytes);
  const { data, width_px, height_px } = await decoding;
  const { profile, warnings } = await profileOf(header);
  const all = warnings.map((w) => ({ ...w, message: `${name}: ${w.message}` }));
  if ((header.bits ?? 8) > 8)
    all.push({
      code: 'bits-reduced',
      message: `${name} has ${header.bits} bits a channel, of which a browser hands over 8.`,
    });
  return { raster: { width_px, height_px, bits: 8, data, profile, rounding }, warnings: all };
}

/**
 * `colorSpaceConversion: 'none'` leaves encoded values alone, and an sRGB canvas takes an untagged bitmap as it is, so
 * that what is read back is what the file holds.
 */
async function pixelsOf(
  blob: Blob,
  name: string,
): Promise<{ data: Uint8Array; width_px: number; height_px: number }> {
  const bitmap = await createImageBitmap(blob, {
    colorSpaceConversion: 'none',
    imageOrientation: 'from-image',
    premultiplyAlpha: 'none',
  }).catch(() => {
    throw new SprayoutError(
      'image-broken',
      `${name} is damaged or cut short and cannot be read.`,
      'Copy the photo from the camera again, or take it again.',
    );
  });
  const { width, height } = bitmap;
  const data = new Uint8Array(3 * width * height);
  const canvas = new OffscreenCanvas(width, Math.min(STRIP_ROWS, height));
  const context = canvas.getContext('2d', { willReadFrequently: true, colorSpace: 'srgb' });
  if (!context) throw new Error('the browser gives no canvas');
  context.globalCompositeOperation = 'copy';
  for (let top = 0; top < height; top += STRIP_ROWS) {
    const rows = Math.min(STRIP_ROWS, height - top);
    context.drawImage(bitmap, 0, top, width, rows, 0, 0, width, rows);
    const rgba = context.getImageData(0, 0, width, rows).data;
    for (let from = 0, to = 3 * width * top; from < rgba.length; from += 4, to += 3) {
      data[to] = rgba[from];
      data[to + 1] = rgba[from + 1];
      data[to + 2] = rgba[from + 2];
    }
  }
  bitmap.close();
  return { data, width_px: width, height_px: height };
}

async function profileOf({ icc, icc_deflated, exif }: PictureHeader): Promise<{
  profile: Raster['profile'];
  warnings: readonly Warning[];
}> {
  if (icc) return profileFromIcc(icc_deflated ? await inflated(icc) : icc, 8);
  return { profile: exif && saysAdobeRgb(exif) ? adobeRgbProfile(8) : srgbProfile(8), warnings: [] };
}

/** A zlib stream unpacked; empty when it is broken, which the profile reader then says. */
async function inflated(zlib: Uint8Array): Promise<Uint8Array> {
  try {
    const unpacked = new Blob([zlib as BlobPart]).stream().pipeThrough(new DecompressionStream('deflate'));
    return new Uint8Array(await new Response(unpacked).arrayBuffer());
  } catch {
    return new Uint8Array(0);
  }
}
