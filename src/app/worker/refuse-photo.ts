/** Files that are not read as photos in a browser, told from their size and their first bytes, before any pixel is decoded. */
import { SprayoutError } from '../../core/errors.ts';
import { type PictureHeader, pictureHeader } from '../../core/photo/picture-header.ts';
import { type ImageType, sniffImage } from '../../core/photo/sniff.ts';

/** Largest file and picture decoded in a browser: pixels take three bytes each here, and four while they are decoded. */
const MAX_FILE_BYTES = 300e6;
export const MAX_PIXELS = 150e6;
const EXPORT = 'Export it as JPEG, PNG or WebP and add that.';
const REFUSED: Readonly<Partial<Record<ImageType, readonly [what: string, hint: string]>>> = {
  avif: ['an AVIF picture', EXPORT],
  tiff: ['a TIFF, which browsers do not read', `${EXPORT} The command line reads TIFF.`],
  gif: ['a GIF, which holds too few colours to measure', 'Take a photo as JPEG, PNG or WebP.'],
  unknown: ['no picture that can be read', 'Give a JPEG, PNG, WebP, HEIC or DNG file.'],
};

/** Throws `file-empty`, `file-too-large`. `name` is what messages call the photo. */
export function refuseBySize(bytes: number, name: string): void {
  if (bytes === 0)
    throw new SprayoutError('file-empty', `${name} is empty.`, 'Copy the photo from the camera again.');
  if (bytes > MAX_FILE_BYTES)
    throw new SprayoutError(
      'file-too-large',
      `${name} has ${Math.round(bytes / 1e6)} MB; ${MAX_FILE_BYTES / 1e6} MB is the most that is read here.`,
      'Give the photo as the camera saved it, or export it smaller.',
    );
}

/**
 * The header of a photo, from its bytes or the first of them. Throws `image-unsupported`, `image-animated`,
 * `image-too-large`, `image-colour-model`.
 */
export function refuseByContent(bytes: Uint8Array, name: string): PictureHeader {
  refuseOtherTypes(bytes, name);
  const header = pictureHeader(bytes);
  refuseByHeader(header, name);
  return header;
}

function refuseOtherTypes(bytes: Uint8Array, name: string): void {
  const { type, animated } = sniffImage(bytes);
  const refused = REFUSED[type];
  if (refused) throw new SprayoutError('image-unsupported', `${name} is ${refused[0]}.`, refused[1]);
  if (animated)
    throw new SprayoutError('image-animated', `${name} is an animation.`, 'Give a single still photo.');
}

function refuseByHeader({ size_px, channels }: PictureHeader, name: string): void {
  if (size_px && size_px[0] * size_px[1] > MAX_PIXELS)
    throw new SprayoutError(
      'image-too-large',
      `${name} has ${size_px[0]} × ${size_px[1]} pixels; ${MAX_PIXELS / 1e6} megapixels is the most that is read here.`,
      'Export the photo smaller; 12 megapixels are plenty.',
    );
  if (channels !== undefined && channels !== 3)
    throw new SprayoutError(
      'image-colour-model',
      `${name} is stored as ${channels === 1 ? 'grey' : 'CMYK'}, not as red, green and blue.`,
      'Export the photo as RGB, best straight from the camera.',
    );
}
