/** Photos without what tells of people and places, by leaving parts of the file out; pixels are never coded anew. */
import { cleanJpeg } from './clean-metadata-jpeg.ts';
import { cleanPng } from './clean-metadata-png.ts';
import { cleanTiff } from './clean-metadata-tiff.ts';
import { cleanWebp } from './clean-metadata-webp.ts';
import { type ImageType, sniffImage } from './sniff.ts';

export type CleanedPhoto =
  | { readonly cleaned: true; readonly bytes: Uint8Array }
  /** Left as it was; `why` ends a sentence that begins with the photo's name. */
  | { readonly cleaned: false; readonly bytes: Uint8Array; readonly why: string };

type Cleaner = (bytes: Uint8Array) => readonly Uint8Array[] | undefined;

const CLEANERS: Readonly<Partial<Record<ImageType, Cleaner>>> = {
  jpeg: cleanJpeg,
  png: cleanPng,
  webp: cleanWebp,
  tiff: cleanTiff,
};

const UNSAFE: Readonly<Record<ImageType, string>> = {
  jpeg: 'is a damaged JPEG',
  png: 'is a PNG that is damaged or keeps its EXIF data as text',
  webp: 'is a damaged WebP',
  tiff: 'is a TIFF of a kind that only its own program can rewrite safely',
  heic: 'is a HEIC photo',
  avif: 'is an AVIF picture',
  dng: 'is a raw photo (DNG)',
  gif: 'is a GIF',
  unknown: 'is of an unknown kind',
};

/**
 * A photo without place, serial numbers, owner, maker notes, XMP, texts, thumbnails and second pictures. Pixels, colour
 * profile, orientation, resolution, date and time (without the zone) and exposure stay. JPEG, PNG, WebP and plain TIFF
 * are cleaned; any other file comes back as it is, with the reason.
 */
export function cleanMetadata(photo: Uint8Array): CleanedPhoto {
  const { type } = sniffImage(photo);
  const parts = CLEANERS[type]?.(photo);
  if (!parts) return { cleaned: false, bytes: photo, why: UNSAFE[type] };
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return { cleaned: true, bytes };
}
