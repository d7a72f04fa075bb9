/** Writes rendered scenes as photo files: JPEG, PNG, TIFF or WebP with orientation and colour profile. */
import sharp from 'sharp';
import { extendJpeg, extendPng, extendWebp, writeTiff } from './container.ts';
import { iccProfile, type ProfileName } from './icc-profile.ts';
import type { RenderedScene } from './render.ts';

export interface FileOptions {
  readonly format: 'jpeg' | 'png' | 'tiff' | 'webp';
  /** JPEG and WebP quality 1–100, 90 when left out. */
  readonly quality?: number;
  /** JPEG chroma at full resolution; halved (as phones do) when left out. */
  readonly fullChroma?: boolean;
  /** WebP without loss. */
  readonly lossless?: boolean;
  /** EXIF orientation 1–8: the pixels are stored turned so that the photo shows upright. */
  readonly orientation?: number;
  /** Leave the colour profile out; a reader then takes the file for sRGB. */
  readonly withoutProfile?: boolean;
  /** Embed these bytes in place of the right profile. */
  readonly icc?: Uint8Array;
}

type Picture = Pick<RenderedScene, 'width_px' | 'height_px' | 'data'> & {
  readonly profile: { readonly name: string };
};

/** Encodes a rendered scene as a file's bytes. */
export async function photoFile(rendered: Picture, options: FileOptions): Promise<Uint8Array> {
  const orientation = options.orientation ?? 1;
  const stored = storedPixels(rendered, orientation);
  const icc = options.icc ?? (options.withoutProfile ? undefined : iccProfile(profileNameOf(rendered)));
  const extras = { ...(icc ? { icc } : {}), ...(options.orientation ? { orientation } : {}) };
  const size = [stored.width_px, stored.height_px] as const;
  if (options.format === 'tiff') return writeTiff(stored.data, size, extras);
  const sixteen = stored.data instanceof Uint16Array;
  if (sixteen && options.format !== 'png')
    throw new RangeError('16-bit pixels need the formats "tiff" or "png"');
  const image = sharp(stored.data, { raw: { width: size[0], height: size[1], channels: 3 } });
  if (options.format === 'png') {
    const png = sixteen ? image.toColourspace('rgb16') : image;
    return extendPng(await png.png({ compressionLevel: 6 }).toBuffer(), extras);
  }
  const quality = options.quality ?? 90;
  if (options.format === 'webp')
    return extendWebp(
      await image.webp({ quality, lossless: options.lossless ?? false }).toBuffer(),
      size,
      extras,
    );
  const chromaSubsampling = options.fullChroma ? '4:4:4' : '4:2:0';
  return extendJpeg(await image.jpeg({ quality, chromaSubsampling }).toBuffer(), extras);
}

function profileNameOf(rendered: Picture): ProfileName {
  const { name } = rendered.profile;
  return name === 'linear' || name === 'Display P3' ? name : 'sRGB';
}

/** The upright pixels as a camera held otherwise stores them (EXIF 2.32, tag 274). */
function storedPixels(upright: Picture, orientation: number): Omit<Picture, 'profile'> {
  if (orientation === 1) return upright;
  const { width_px: w, height_px: h, data } = upright;
  const swaps = orientation >= 5;
  const width_px = swaps ? h : w;
  const height_px = swaps ? w : h;
  const turned = data instanceof Uint16Array ? new Uint16Array(data.length) : new Uint8Array(data.length);
  const flipX = orientation === 2 || orientation === 3 || orientation === 6 || orientation === 7;
  const flipY = orientation === 3 || orientation === 4 || orientation === 7 || orientation === 8;
  for (let sy = 0; sy < height_px; sy++)
    for (let sx = 0; sx < width_px; sx++) {
      const across = swaps ? sy : sx;
      const down = swaps ? sx : sy;
      const x = flipX ? w - 1 - across : across;
      const y = flipY ? h - 1 - down : down;
      const from = 3 * (y * w + x);
      const to = 3 * (sy * width_px + sx);
      turned[to] = data[from];
      turned[to + 1] = data[from + 1];
      turned[to + 2] = data[from + 2];
    }
  return { width_px, height_px, data: turned };
}
