import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/core/math/random.ts';
import { sniffImage } from '../../src/core/photo/index.ts';
import { pcsFromPrimaries } from '../../src/core/photo/primaries.ts';
import { readPhoto } from '../../src/node/read-photo.ts';
import { type CurveTag, matrixProfile } from './icc-bytes.ts';
import {
  pngOfSize,
  pngProfileBody,
  tiffFile,
  withInteroperability,
  withJpegProfile,
  withPngChunk,
} from './picture-files.ts';

const D65 = [0.3127, 0.329] as const;
const P3 = pcsFromPrimaries({ red: [0.68, 0.32], green: [0.265, 0.69], blue: [0.15, 0.06], white: D65 });
const ADOBE = pcsFromPrimaries({ red: [0.64, 0.33], green: [0.21, 0.71], blue: [0.15, 0.06], white: D65 });
const GAMMA: CurveTag = { kind: 'curv', values: [0x0233] };
const LINEAR: CurveTag = { kind: 'curv', values: [] };
const WIDTH = 37;
const HEIGHT = 23;

const random = seededRandom(7);
const noise8 = Uint8Array.from({ length: WIDTH * HEIGHT * 3 }, () => Math.floor(random.uniform() * 256));
const noise16 = Uint16Array.from({ length: WIDTH * HEIGHT * 3 }, () => Math.floor(random.uniform() * 65536));
const smooth8 = Uint8Array.from({ length: WIDTH * HEIGHT * 3 }, (_, i) => {
  const x = Math.floor(i / 3) % WIDTH;
  const y = Math.floor(i / 3 / WIDTH);
  return [60 + 4 * x, 40 + 6 * y, 120][i % 3];
});
/** 0 when the pixels are these bytes. */
const byteOrder = (a: Uint8Array | Uint16Array, b: Uint8Array): number => Buffer.compare(Buffer.from(a), b);
const raw = (data: Uint8Array) => sharp(data, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } });
/** Sixteen-bit PNG rows are big-endian; sharp writes them from ushort samples. */
const png16 = () =>
  sharp(noise16, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } })
    .toColourspace('rgb16')
    .png()
    .toBuffer();

describe('the pixels of a photo', () => {
  it('come out of TIFF exactly as stored, whatever the profile', async () => {
    for (const icc of [undefined, matrixProfile('Display P3', P3, GAMMA), matrixProfile('a', ADOBE, GAMMA)]) {
      const { raster, warnings } = await readPhoto(tiffFile(WIDTH, HEIGHT, noise8, icc ? { icc } : {}));
      expect(raster.bits).toBe(8);
      expect([raster.width_px, raster.height_px]).toEqual([WIDTH, HEIGHT]);
      expect(byteOrder(raster.data, noise8)).toBe(0);
      expect(raster.profile.source).toBe(icc ? 'embedded' : 'assumed');
      expect(warnings).toEqual([]);
    }
  });

  it('come out of PNG exactly as stored, with a Display P3 profile', async () => {
    const png = withPngChunk(
      await raw(noise8).png().toBuffer(),
      'iCCP',
      pngProfileBody(matrixProfile('Display P3', P3, GAMMA)),
    );
    const { raster } = await readPhoto(png);
    expect(raster.profile.name).toBe('Display P3');
    expect(byteOrder(raster.data, noise8)).toBe(0);
  });

  it('come out of WebP exactly as stored when it is lossless', async () => {
    const { raster } = await readPhoto(await raw(noise8).webp({ lossless: true }).toBuffer());
    expect(byteOrder(raster.data, noise8)).toBe(0);
  });

  it('keep all 16 bits of TIFF and PNG, with a linear profile too', async () => {
    const icc = matrixProfile('linear', P3, LINEAR);
    const png = await png16();
    const files = [
      tiffFile(WIDTH, HEIGHT, noise16),
      tiffFile(WIDTH, HEIGHT, noise16, { icc, orientation: 1 }),
      png,
      withPngChunk(png, 'iCCP', pngProfileBody(icc)),
    ];
    for (const [i, file] of files.entries()) {
      const { raster } = await readPhoto(file);
      expect(raster.bits).toBe(16);
      expect(raster.data).toBeInstanceOf(Uint16Array);
      expect(raster.data).toEqual(noise16);
      expect(raster.profile.isLinear).toBe(i % 2 === 1);
    }
  });

  it('of a JPEG are the same with and without a profile', async () => {
    const plain = await raw(smooth8).jpeg({ quality: 90 }).toBuffer();
    const tagged = withJpegProfile(plain, matrixProfile('Display P3', P3, GAMMA));
    const a = await readPhoto(plain);
    const b = await readPhoto(tagged);
    expect(b.raster.profile.name).toBe('Display P3');
    expect(a.raster.profile.name).toBe('sRGB');
    expect(b.raster.data).toEqual(a.raster.data);
  });

  it('are turned upright from each of the eight EXIF orientations (CIPA DC-008, 4.6.5, tag 274)', async () => {
    for (let orientation = 1; orientation <= 8; orientation++) {
      const stored = storedAs(orientation, noise8, WIDTH, HEIGHT);
      const file = tiffFile(stored.width, stored.height, stored.data, { orientation });
      const { raster } = await readPhoto(file);
      expect([raster.width_px, raster.height_px], `orientation ${orientation}`).toEqual([WIDTH, HEIGHT]);
      expect(byteOrder(raster.data, noise8), `orientation ${orientation}`).toBe(0);
      const smooth = storedAs(orientation, smooth8, WIDTH, HEIGHT);
      const jpeg = await sharp(smooth.data, {
        raw: { width: smooth.width, height: smooth.height, channels: 3 },
      })
        .withMetadata({ orientation })
        .jpeg({ quality: 95, chromaSubsampling: '4:4:4' })
        .toBuffer();
      const turned = (await readPhoto(jpeg)).raster;
      expect([turned.width_px, turned.height_px]).toEqual([WIDTH, HEIGHT]);
      for (let i = 0; i < smooth8.length; i++) expect(Math.abs(turned.data[i] - smooth8[i])).toBeLessThan(12);
    }
  });

  it('lose an opaque fourth channel silently, a see-through one with a warning', async () => {
    const rgba = (alpha: number) =>
      sharp(
        Uint8Array.from({ length: WIDTH * HEIGHT * 4 }, (_, i) =>
          i % 4 === 3 ? alpha : noise8[3 * Math.floor(i / 4) + (i % 4)],
        ),
        { raw: { width: WIDTH, height: HEIGHT, channels: 4 } },
      )
        .png()
        .toBuffer();
    const opaque = await readPhoto(await rgba(255));
    expect(byteOrder(opaque.raster.data, noise8)).toBe(0);
    expect(opaque.warnings).toEqual([]);
    const seeThrough = await readPhoto(await rgba(90));
    expect(byteOrder(seeThrough.raster.data, noise8)).toBe(0);
    expect(seeThrough.warnings.map((w) => w.code)).toEqual(['alpha-ignored']);
  });
});

/** The rows and columns as a camera stores them when it writes the given orientation for an upright scene. */
function storedAs(orientation: number, upright: Uint8Array, width: number, height: number) {
  const turned = orientation >= 5;
  const [w, h] = turned ? [height, width] : [width, height];
  const data = new Uint8Array(upright.length);
  for (let row = 0; row < h; row++)
    for (let column = 0; column < w; column++) {
      // row 0 and column 0 of the stored picture are these sides of the scene (CIPA DC-008, table of tag 274)
      const [x, y] = [
        [column, row],
        [width - 1 - column, row],
        [width - 1 - column, height - 1 - row],
        [column, height - 1 - row],
        [row, column],
        [width - 1 - row, column],
        [width - 1 - row, height - 1 - column],
        [row, height - 1 - column],
      ][orientation - 1];
      for (let c = 0; c < 3; c++) data[3 * (row * w + column) + c] = upright[3 * (y * width + x) + c];
    }
  return { data, width: w, height: h };
}

describe('a photo without a profile', () => {
  it('is Adobe RGB (1998) when its EXIF data say R03, sRGB when they say R98 (DCF, CIPA DC-009)', async () => {
    const plain = await raw(smooth8).jpeg().toBuffer();
    const adobe = (await readPhoto(withInteroperability(plain, 'R03'))).raster.profile;
    expect(adobe.name).toBe('Adobe RGB (1998)');
    expect(adobe.source).toBe('assumed');
    const embedded = withJpegProfile(plain, matrixProfile('a', ADOBE, GAMMA));
    const { toLinearSrgb, decode } = (await readPhoto(embedded)).raster.profile;
    adobe.toLinearSrgb.forEach((v, i) => {
      expect(v).toBeCloseTo(toLinearSrgb[i], 3);
    });
    expect(adobe.decode[1][128]).toBeCloseTo(decode[1][128], 6);
    expect((await readPhoto(withInteroperability(plain, 'R98'))).raster.profile.name).toBe('sRGB');
  });

  it('with broken EXIF data is sRGB', async () => {
    const whole = withInteroperability(await raw(smooth8).jpeg().toBuffer(), 'R03');
    for (let at = 4; at < 72; at++) {
      const changed = whole.slice();
      changed[at] ^= 0xff;
      const name = await readPhoto(changed).then(
        ({ raster }) => raster.profile.name,
        (e: unknown) => (e as { code: string }).code,
      );
      expect(['sRGB', 'Adobe RGB (1998)', 'image-broken']).toContain(name);
    }
  });
});

describe('the type of a picture', () => {
  it('is told by its bytes', async () => {
    expect(sniffImage(await raw(noise8).jpeg().toBuffer()).type).toBe('jpeg');
    expect(sniffImage(await raw(noise8).png().toBuffer()).type).toBe('png');
    expect(sniffImage(await raw(noise8).tiff().toBuffer()).type).toBe('tiff');
    expect(sniffImage(await raw(noise8).webp().toBuffer()).type).toBe('webp');
    expect(sniffImage(await raw(noise8).gif().toBuffer()).type).toBe('gif');
    expect(sniffImage(heic()).type).toBe('heic');
    expect(sniffImage(dng()).type).toBe('dng');
    expect(sniffImage(new TextEncoder().encode('hello, not a picture')).type).toBe('unknown');
    expect(sniffImage(new Uint8Array(0)).type).toBe('unknown');
  });

  it('does not depend on the name', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'photo-'));
    const path = join(folder, 'really-a-png.jpg');
    await writeFile(path, await raw(noise8).png().toBuffer());
    expect(byteOrder((await readPhoto(path)).raster.data, noise8)).toBe(0);
  });
});

function heic(): Uint8Array {
  const file = new Uint8Array(64);
  file.set([0, 0, 0, 24, ...Buffer.from('ftypheic'), 0, 0, 0, 0, ...Buffer.from('mif1heic')]);
  return file;
}

function dng(): Uint8Array {
  const file = new Uint8Array(64);
  // header, directory at 8 with one entry: tag 50706, four bytes, version 1.4
  file.set([0x49, 0x49, 42, 0, 8, 0, 0, 0, 1, 0, 0x12, 0xc6, 1, 0, 4, 0, 0, 0, 1, 4, 0, 0]);
  return file;
}

describe('a file that is no photo to measure is refused with its own code', () => {
  const codeOf = async (source: string | Uint8Array): Promise<string> => {
    const error: unknown = await readPhoto(source).then(
      () => undefined,
      (e: unknown) => e,
    );
    expect(error).toMatchObject({ name: 'SprayoutError' });
    const { code, message, hint } = error as { code: string; message: string; hint: string };
    expect(message.length).toBeGreaterThan(10);
    expect(hint.length).toBeGreaterThan(10);
    expect(message).not.toMatch(/\n|at .*:\d+/);
    return code;
  };

  it('missing, a folder, empty', async () => {
    expect(await codeOf(join(tmpdir(), 'no-such-photo.jpg'))).toBe('file-not-found');
    expect(await codeOf(tmpdir())).toBe('file-unreadable');
    expect(await codeOf(new Uint8Array(0))).toBe('file-empty');
  });

  it('HEIC and raw without a picture, GIF, text', async () => {
    expect(await codeOf(heic())).toBe('image-broken');
    expect(await codeOf(dng())).toBe('image-unsupported');
    expect(await codeOf(await raw(noise8).gif().toBuffer())).toBe('image-unsupported');
    expect(await codeOf(new TextEncoder().encode('hello'))).toBe('image-unsupported');
  });

  it('animated', async () => {
    const frames = Buffer.concat([noise8, noise8.slice().reverse()]);
    const animation = sharp(frames, {
      raw: { width: WIDTH, height: 2 * HEIGHT, channels: 3, pageHeight: HEIGHT },
    });
    expect(await codeOf(await animation.webp().toBuffer())).toBe('image-animated');
    const png = await raw(noise8).png().toBuffer();
    expect(await codeOf(withPngChunk(png, 'acTL', new Uint8Array(8)))).toBe('image-animated');
  });

  it('CMYK, grey', async () => {
    expect(await codeOf(await raw(noise8).toColourspace('cmyk').jpeg().toBuffer())).toBe(
      'image-colour-model',
    );
    expect(await codeOf(await raw(noise8).toColourspace('b-w').jpeg().toBuffer())).toBe('image-colour-model');
    expect(await codeOf(await raw(noise8).toColourspace('b-w').png().toBuffer())).toBe('image-colour-model');
  });

  it('floating-point pixels', async () => {
    expect(
      await codeOf(
        tiffFile(
          WIDTH,
          HEIGHT,
          Float32Array.from(noise8, (v) => v / 255),
        ),
      ),
    ).toBe('image-unsupported');
  });

  it('a picture whose header claims a gigantic size, before decoding any of it', async () => {
    expect(await codeOf(pngOfSize(60000, 60000))).toBe('image-too-large');
    expect(await codeOf(pngOfSize(0x7fffffff, 0x7fffffff))).toMatch(/image-too-large|image-broken/);
  });

  it('cut short, in every format', async () => {
    const files = [
      await raw(noise8).jpeg().toBuffer(),
      await raw(noise8).jpeg({ progressive: true }).toBuffer(),
      await raw(noise8).png().toBuffer(),
      await raw(noise8).webp({ lossless: true }).toBuffer(),
      await raw(noise8).tiff().toBuffer(),
      tiffFile(WIDTH, HEIGHT, noise16),
    ];
    for (const file of files)
      expect(await codeOf(file.subarray(0, Math.floor(file.length * 0.6)))).toBe('image-broken');
  });

  it('scrambled behind a good beginning', async () => {
    const png = Uint8Array.from(await raw(noise8).png().toBuffer());
    png.fill(0x5a, 60);
    expect(await codeOf(png)).toBe('image-broken');
  });
});

describe('a photo with a broken profile', () => {
  it('is read as sRGB with a warning that names the photo', async () => {
    const icc = matrixProfile('any', P3, GAMMA).fill(0, 36, 40);
    const { raster, warnings } = await readPhoto(tiffFile(WIDTH, HEIGHT, noise8, { icc }), 'lid.tif');
    expect(raster.profile.name).toBe('sRGB');
    expect(warnings.map((w) => w.code)).toEqual(['profile-unusable']);
    expect(warnings[0].message).toMatch(/lid\.tif/);
    expect(byteOrder(raster.data, noise8)).toBe(0);
  });
});
