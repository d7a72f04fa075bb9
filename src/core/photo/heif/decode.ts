/** Pixels of a HEIC photo through libheif, which whoever reads the file brings along. */
import { SprayoutError, type Warning } from '../../errors.ts';
import type { Raster } from '../types.ts';
import { heifProfile } from './colour.ts';

interface HeifImage {
  get_width(): number;
  get_height(): number;
  is_primary(): boolean;
  display(
    target: { readonly data: Uint8ClampedArray; readonly width: number; readonly height: number },
    done: (shown: unknown) => void,
  ): void;
  free?(): void;
}

/** What of libheif is used. */
export interface Heif {
  readonly HeifDecoder: new () => { decode(bytes: Uint8Array): readonly HeifImage[] };
}

/**
 * Decodes a HEIC photo, turned and cropped as its container says (libheif does that; EXIF orientation does not count in
 * HEIF, ISO/IEC 23008-12, 7.2.2). Throws SprayoutError `image-too-large`, `image-broken`.
 */
export async function decodeHeif(
  heif: Heif,
  bytes: Uint8Array,
  name: string,
  maxPixels: number,
): Promise<{ readonly raster: Raster; readonly warnings: Warning[] }> {
  const images = new heif.HeifDecoder().decode(bytes);
  const image = images.find((i) => i.is_primary()) ?? images[0];
  if (!image) throw brokenHeic(name);
  const width = image.get_width();
  const height = image.get_height();
  if (!(width * height > 0)) throw brokenHeic(name);
  refuseTooLarge(name, width, height, maxPixels);
  const target = { data: new Uint8ClampedArray(4 * width * height), width, height };
  const shown = await new Promise<unknown>((resolve) => image.display(target, resolve));
  if (!shown) throw brokenHeic(name);
  for (const one of images) one.free?.();
  return withProfile(bytes, name, {
    width_px: width,
    height_px: height,
    data: withoutFourth(target.data),
  });
}

/** Decoded pixels with the colour space that the file tells of them. */
export function withProfile(
  bytes: Uint8Array,
  name: string,
  pixels: { readonly width_px: number; readonly height_px: number; readonly data: Uint8Array },
): { readonly raster: Raster; readonly warnings: Warning[] } {
  const { profile, warnings } = heifProfile(bytes);
  return {
    raster: { ...pixels, bits: 8, profile },
    warnings: warnings.map((w) => ({ ...w, message: `${name}: ${w.message}` })),
  };
}

/** Throws SprayoutError `image-too-large`. */
export function refuseTooLarge(name: string, width: number, height: number, maxPixels: number): void {
  if (width * height > maxPixels)
    throw new SprayoutError(
      'image-too-large',
      `${name} has ${width} × ${height} pixels; ${maxPixels / 1e6} megapixels is the most that is read.`,
      'Export the photo smaller; 12 megapixels are plenty.',
    );
}

function withoutFourth(rgba: Uint8ClampedArray): Uint8Array {
  const rgb = new Uint8Array((rgba.length / 4) * 3);
  for (let from = 0, to = 0; from < rgba.length; from += 4, to += 3) {
    rgb[to] = rgba[from];
    rgb[to + 1] = rgba[from + 1];
    rgb[to + 2] = rgba[from + 2];
  }
  return rgb;
}

function brokenHeic(name: string): SprayoutError {
  return new SprayoutError(
    'image-broken',
    `${name} is a HEIC photo that is damaged or cut short and cannot be read.`,
    'Copy the photo from the phone again, or set the phone to save JPEG ("most compatible").',
  );
}
