import { basename } from 'node:path';
import type { Metadata, Sharp } from 'sharp';
import { SprayoutError, type Warning } from '../core/errors.ts';
import {
  adobeRgbProfile,
  type ColourProfile,
  type ImageType,
  profileFromIcc,
  type Raster,
  saysAdobeRgb,
  sniffImage,
  srgbProfile,
} from '../core/photo/index.ts';
import { decoderRounding, type Rounding } from '../core/photo/jpeg/index.ts';
import { loadDecoder } from './decoder.ts';
import { fileError } from './file-error.ts';
import { readPlainFile } from './plain-file.ts';

/** Largest file read. A 16-bit TIFF of 60 megapixels has 360 MB. */
export const MAX_FILE_BYTES = 800e6;
/** Largest picture decoded, told from its header. The largest phone cameras have 200 megapixels. */
export const MAX_PIXELS = 250e6;

const LATER = 'Export it as JPEG, PNG, TIFF or WebP and measure that; reading it directly will come later.';
const REFUSED: Readonly<Partial<Record<ImageType, readonly [what: string, hint: string]>>> = {
  avif: ['an AVIF picture', LATER],
  gif: ['a GIF, which holds too few colours to measure', 'Take a photo as JPEG, PNG, TIFF or WebP.'],
  unknown: ['no picture that can be read', 'Give a JPEG, HEIC, PNG, TIFF, WebP or DNG file.'],
};

/**
 * Reads a photo: RGB as encoded in the file, 8 or 16 bit, turned upright by its EXIF orientation, with the embedded
 * colour profile beside it (without one: Adobe RGB (1998) when the EXIF data say so, else sRGB). Nothing is converted.
 *
 * @param source a path, or the bytes of a file
 * @param name what messages call the photo; by default the file's own name
 * @throws SprayoutError `file-not-found`, `file-unreadable`, `file-empty`, `file-too-large`, `image-unsupported`,
 *   `image-animated`, `image-colour-model`, `image-too-large`, `image-broken`
 */
export async function readPhoto(
  source: string | Uint8Array,
  name = typeof source === 'string' ? basename(source) : 'the photo',
): Promise<PhotoAsRead> {
  const { photo, helpDecoding, readBeside } = await openPhoto(source, name);
  helpDecoding();
  readBeside();
  return photo;
}

/** A decoded photo, and what there is to say of its file. */
export interface PhotoAsRead {
  readonly raster: Raster;
  readonly warnings: readonly Warning[];
}

/** A photo that is being decoded on another thread. */
export interface OpenedPhoto {
  readonly photo: Promise<PhotoAsRead>;
  /** Decodes along on this thread, of a HEIC photo: to be called when there is nothing better to do until it is there. */
  readonly helpDecoding: () => void;
  /**
   * Reads what is read out of the file beside its pixels: to be called when there is nothing better to do until the
   * photo is there, which waits for it otherwise.
   */
  readonly readBeside: () => void;
}

/** As `readPhoto`, answering when the file's header has been checked and decoding has begun. */
export async function openPhoto(
  source: string | Uint8Array,
  name = typeof source === 'string' ? basename(source) : 'the photo',
): Promise<OpenedPhoto> {
  const bytes = typeof source === 'string' ? await readBytes(source, name) : source;
  if (bytes.length === 0)
    throw new SprayoutError('file-empty', `${name} is empty.`, 'Copy the photo from the camera again.');
  if (bytes.length > MAX_FILE_BYTES) throw tooManyBytes(name, bytes.length);
  const type = refuseOtherTypes(bytes, name);
  // loaded only when such a photo comes
  if (type === 'heic') {
    const { photo, help } = (await import('./read-heic.ts')).openHeic(bytes, name, MAX_PIXELS);
    return { photo, helpDecoding: help, readBeside: () => {} };
  }
  if (type === 'dng')
    return whole((await import('../core/photo/dng/photo.ts')).dngPhoto(bytes, name, MAX_PIXELS));

  const sharp = loadDecoder();
  // Our own profile reader decides what the numbers mean: `ignoreIcc` keeps the decoder from converting them.
  const open = (): Sharp =>
    sharp(bytes, {
      limitInputPixels: false,
      unlimited: true,
      ignoreIcc: true,
      failOn: 'error',
      sequentialRead: true,
    });
  const header = await open()
    .metadata()
    .catch((error: unknown) => {
      throw broken(name, error);
    });
  const bits = checkHeader(header, name);
  const { profile, warnings } = colourOf(header, bits);
  const decoding = decode(open(), bits, header.hasAlpha === true, name);
  let beside: { readonly rounding: Rounding | undefined } | undefined;
  const readBeside = () => {
    beside ??= { rounding: decoderRounding(bytes) };
    return beside;
  };
  const photo = decoding.then((decoded) => ({
    raster: { ...decoded.pixels, bits, profile, ...readBeside() },
    warnings: [...decoded.warnings, ...warnings.map((w) => ({ ...w, message: `${name}: ${w.message}` }))],
  }));
  // a failure is for whoever asks for the photo, even when that is after it has failed
  photo.catch(() => {});
  return { photo, helpDecoding: () => {}, readBeside };
}

/** A photo that is decoded in one go. */
async function whole(read: PhotoAsRead | Promise<PhotoAsRead>): Promise<OpenedPhoto> {
  const photo = await read;
  return {
    photo: Promise.resolve(photo),
    helpDecoding: () => {},
    readBeside: () => {},
  };
}

function colourOf(
  { icc, exif }: Metadata,
  bits: 8 | 16,
): { readonly profile: ColourProfile; readonly warnings: readonly Warning[] } {
  if (icc) return profileFromIcc(icc, bits);
  return { profile: exif && saysAdobeRgb(exif) ? adobeRgbProfile(bits) : srgbProfile(bits), warnings: [] };
}

async function readBytes(path: string, name: string): Promise<Uint8Array> {
  try {
    return await readPlainFile(path, MAX_FILE_BYTES, (size) => tooManyBytes(name, size));
  } catch (error) {
    throw fileError(error, path) ?? error;
  }
}

function tooManyBytes(name: string, size: number): SprayoutError {
  return new SprayoutError(
    'file-too-large',
    `${name} has ${Math.round(size / 1e6)} MB; ${MAX_FILE_BYTES / 1e6} MB is the most that is read.`,
    'Give the photo as the camera saved it, or export it smaller.',
  );
}

function refuseOtherTypes(bytes: Uint8Array, name: string): ImageType {
  const { type, animated } = sniffImage(bytes);
  const refused = REFUSED[type];
  if (refused) throw new SprayoutError('image-unsupported', `${name} is ${refused[0]}.`, refused[1]);
  if (animated)
    throw new SprayoutError('image-animated', `${name} is an animation.`, 'Give a single still photo.');
  return type;
}

function broken(name: string, error: unknown): SprayoutError {
  const detail = error instanceof Error ? error.message.split('\n')[0].slice(0, 120) : 'unknown reason';
  return new SprayoutError(
    'image-broken',
    `${name} is damaged or cut short and cannot be read (${detail}).`,
    'Copy the photo from the camera again, or take it again.',
  );
}

/** Refuses by the header alone what must not or cannot be decoded; answers the bits per channel. */
function checkHeader(header: Metadata, name: string): 8 | 16 {
  const { width = 0, height = 0 } = header;
  if ((header.pages ?? 1) > 1 && header.format === 'webp')
    throw new SprayoutError('image-animated', `${name} is an animation.`, 'Give a single still photo.');
  if (width * height > MAX_PIXELS)
    throw new SprayoutError(
      'image-too-large',
      `${name} has ${width} × ${height} pixels; ${MAX_PIXELS / 1e6} megapixels is the most that is read.`,
      'Export the photo smaller; 12 megapixels are plenty.',
    );
  if (header.depth !== 'uchar' && header.depth !== 'ushort')
    throw new SprayoutError(
      'image-unsupported',
      `${name} stores its pixels as ${header.depth} numbers.`,
      'Export the photo with 8 or 16 bits a channel.',
    );
  if (header.space !== 'srgb' && header.space !== 'rgb' && header.space !== 'rgb16')
    throw new SprayoutError(
      'image-colour-model',
      `${name} is stored as ${modelWord(header.space)}, not as red, green and blue.`,
      'Export the photo as RGB, best straight from the camera.',
    );
  return header.depth === 'uchar' ? 8 : 16;
}

function modelWord(space: string | undefined): string {
  if (space === 'b-w' || space === 'grey16') return 'grey';
  return space === 'cmyk' ? 'CMYK' : (space ?? 'an unknown colour model');
}

async function decode(
  image: Sharp,
  bits: 8 | 16,
  hasAlpha: boolean,
  name: string,
): Promise<{
  readonly pixels: Pick<Raster, 'data' | 'width_px' | 'height_px'>;
  readonly warnings: readonly Warning[];
}> {
  const upright = image.autoOrient();
  const encoded = bits === 16 ? upright.toColourspace('rgb16').raw({ depth: 'ushort' }) : upright.raw();
  const { data, info } = await encoded.toBuffer({ resolveWithObject: true }).catch((error: unknown) => {
    throw broken(name, error);
  });
  const size = { width_px: info.width, height_px: info.height };
  const values = bits === 8 ? data : new Uint16Array(data.buffer, data.byteOffset, data.byteLength / 2);
  if (info.channels === 3) return { pixels: { data: values, ...size }, warnings: [] };
  if (info.channels !== 4 || !hasAlpha) throw broken(name, new Error(`${info.channels} channels`));
  const { rgb, opaque } = withoutAlpha(values, bits);
  const message = `${name} has see-through areas; they are read as the colours stored under them.`;
  return { pixels: { data: rgb, ...size }, warnings: opaque ? [] : [{ code: 'alpha-ignored', message }] };
}

function withoutAlpha(
  rgba: Uint8Array | Uint16Array,
  bits: 8 | 16,
): { rgb: Raster['data']; opaque: boolean } {
  const count = rgba.length / 4;
  const rgb = bits === 8 ? new Uint8Array(3 * count) : new Uint16Array(3 * count);
  const full = 2 ** bits - 1;
  let opaque = true;
  for (let i = 0, from = 0, to = 0; i < count; i++, from += 4, to += 3) {
    rgb[to] = rgba[from];
    rgb[to + 1] = rgba[from + 1];
    rgb[to + 2] = rgba[from + 2];
    if (rgba[from + 3] !== full) opaque = false;
  }
  return { rgb, opaque };
}
