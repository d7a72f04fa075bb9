import { extname } from 'node:path';
import {
  type AnnotatedPhotoOptions,
  annotatedPhotoSvg,
  encodeSrgb,
  type Lettering,
  type PicturedPhoto,
} from '../core/board/index.ts';
import { SprayoutError } from '../core/errors.ts';
import type { Raster } from '../core/photo/index.ts';
import { boardFonts } from './board-fonts.ts';
import { loadDecoder } from './decoder.ts';
import { writeWholeFile } from './write-file.ts';

/** The typeface of pictures and boards, from the package's own files. */
export async function boardLettering(): Promise<Lettering> {
  return (await boardFonts()).lettering;
}

export type AnnotateOptions = Omit<
  AnnotatedPhotoOptions,
  'width_px' | 'height_px' | 'photo' | 'photoAddress'
>;

/**
 * Writes the annotated picture of a measured photo as JPEG or PNG, by the name's ending; the whole file or nothing.
 * The photo is shown in sRGB. Throws `usage` for another ending, `output-unwritable`.
 */
export async function writeAnnotatedPhoto(
  raster: Raster,
  measured: PicturedPhoto,
  outPath: string,
  options: AnnotateOptions = {},
): Promise<void> {
  const ending = extname(outPath).toLowerCase();
  if (!['.jpg', '.jpeg', '.png'].includes(ending))
    throw new SprayoutError('usage', `${outPath} is no name for a picture.`, 'End the name in .jpg or .png.');
  const sharp = loadDecoder();
  const { svg, width, height, photoAt } = annotatedPhotoSvg(
    { ...options, width_px: raster.width_px, height_px: raster.height_px, photo: measured },
    await boardLettering(),
  );
  const photo = await screenPhoto(raster, photoAt.width, photoAt.height);
  const composed = sharp({ create: { width, height, channels: 3, background: '#919191' } })
    .composite([
      {
        input: photo,
        raw: { width: photoAt.width, height: photoAt.height, channels: 3 },
        left: photoAt.x,
        top: photoAt.y,
      },
      { input: Buffer.from(svg) },
    ])
    .removeAlpha();
  const bytes = await (ending === '.png'
    ? composed.png({ compressionLevel: 9 })
    : composed.jpeg({ quality: 88, chromaSubsampling: '4:4:4', mozjpeg: true })
  ).toBuffer();
  await writeWholeFile(outPath, bytes);
}

/** The photo at another size, as 8 bit sRGB, three bytes a pixel. */
async function screenPhoto(raster: Raster, width: number, height: number): Promise<Buffer> {
  const sharp = loadDecoder();
  const scaled = await sharp(raster.data, {
    raw: { width: raster.width_px, height: raster.height_px, channels: 3 },
    limitInputPixels: false,
  })
    .resize(width, height, { fit: 'fill' })
    .toColourspace(raster.bits === 16 ? 'rgb16' : 'srgb')
    .raw({ depth: raster.bits === 16 ? 'ushort' : 'uchar' })
    .toBuffer();
  const values =
    raster.bits === 16 ? new Uint16Array(scaled.buffer, scaled.byteOffset, scaled.byteLength / 2) : scaled;
  if (raster.profile.name === 'sRGB' && raster.bits === 8) return scaled;
  const { decode, toLinearSrgb: m } = raster.profile;
  const encoded = Uint8Array.from({ length: 4097 }, (_, i) => Math.round(255 * encodeSrgb(i / 4096)));
  const shown = Buffer.alloc(3 * width * height);
  for (let i = 0; i < shown.length; i += 3) {
    const r = decode[0][values[i]];
    const g = decode[1][values[i + 1]];
    const b = decode[2][values[i + 2]];
    for (let c = 0; c < 3; c++) {
      const linear = m[3 * c] * r + m[3 * c + 1] * g + m[3 * c + 2] * b;
      shown[i + c] = encoded[Math.round(4096 * Math.max(0, Math.min(1, linear)))];
    }
  }
  return shown;
}
