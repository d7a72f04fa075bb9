/**
 * What 8-bit decoding takes off the colours of a JPEG (ITU-T T.81, ITU-T T.871), against the pixels that went into it. The
 * encoder and decoder are those of libvips (libjpeg-turbo), as photos are read in the field.
 */
import { readFileSync } from 'node:fs';
import sharp, { type Sharp } from 'sharp';
import { describe, expect, it } from 'vitest';
import type { Vec3 } from '../../src/core/math/linear.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { decoderRounding } from '../../src/core/photo/jpeg/index.ts';
import { sampleQuad } from '../../src/core/photo/sample.ts';
import type { QuadPx, Raster } from '../../src/core/photo/types.ts';
import { readPhoto } from '../../src/node/read-photo.ts';
import { spoilBytes } from '../fuzz/mutations.ts';

const SIZE = { width: 217, height: 163 };
const WHOLE: QuadPx = [
  [0, 0],
  [SIZE.width, 0],
  [SIZE.width, SIZE.height],
  [0, SIZE.height],
];

/** A dark candy panel of one colour in slowly falling light, with a sensor's noise, 8 bit. */
function panel(colour: Vec3, seed: number): Uint8Array {
  const random = seededRandom(seed);
  return Uint8Array.from({ length: 3 * SIZE.width * SIZE.height }, (_, i) => {
    const x = Math.floor(i / 3) % SIZE.width;
    const noise = 0.8 * random.normal();
    return Math.round(colour[i % 3] * (1 - (0.02 * x) / SIZE.width) + noise);
  });
}

const picture = (pixels: Uint8Array): Sharp => sharp(pixels, { raw: { ...SIZE, channels: 3 } });

const COLOURS: readonly Vec3[] = [
  [96.3, 22.4, 24.1],
  [121.8, 58.2, 21.3],
  [41.6, 27.7, 71.4],
  [33.2, 62.9, 40.4],
  [152.4, 39.3, 44.8],
  [70.7, 70.1, 69.6],
];

/** Root-mean-square relative error of light against the picture before it was a JPEG, with and without what rounding took. */
async function errors(
  encode: (image: Sharp) => Sharp,
): Promise<{ readonly kept: number; readonly lost: number }> {
  const squares = { kept: 0, lost: 0 };
  for (const [k, colour] of COLOURS.entries()) {
    const image = picture(panel(colour, k + 1));
    const truth = await light(await image.clone().png().toBuffer(), true);
    const jpeg = await encode(image).toBuffer();
    for (const way of ['kept', 'lost'] as const) {
      const read = await light(jpeg, way === 'kept');
      truth.forEach((value, c) => {
        squares[way] += (read[c] / value - 1) ** 2 / (3 * COLOURS.length);
      });
    }
  }
  return { kept: Math.sqrt(squares.kept), lost: Math.sqrt(squares.lost) };
}

async function light(file: Uint8Array, withRounding: boolean): Promise<Vec3> {
  const { raster } = await readPhoto(file);
  const used: Raster = withRounding ? raster : { ...raster, rounding: undefined };
  return sampleQuad(used, WHOLE, { margin: 0.1, maxPixels: 1e5 }).linear;
}

describe('the colour of a smooth panel in a JPEG', () => {
  it.each(['4:4:4', '4:2:0'] as const)('is that of the pixels it was made of: chroma %s', async (chroma) => {
    for (const quality of [85, 90, 95]) {
      const { kept, lost } = await errors((i) => i.jpeg({ quality, chromaSubsampling: chroma }));
      expect(kept).toBeLessThan(0.45 * lost);
      expect(kept).toBeLessThan(0.012);
    }
  });

  it('is the same however the camera was held', async () => {
    const pixels = panel([121.8, 58.2, 21.3], 5);
    const upright = await light(await picture(pixels).png().toBuffer(), true);
    for (let orientation = 1; orientation <= 8; orientation++) {
      const file = await picture(pixels).jpeg({ quality: 90 }).withMetadata({ orientation }).toBuffer();
      const { raster } = await readPhoto(file);
      const { width_px: w, height_px: h } = raster;
      const all: QuadPx = [
        [0, 0],
        [w, 0],
        [w, h],
        [0, h],
      ];
      const read = sampleQuad(raster, all, { margin: 0.1, maxPixels: 1e5 }).linear;
      read.forEach((value, c) => {
        expect(Math.abs(value / upright[c] - 1)).toBeLessThan(0.012);
      });
    }
  });

  it('belongs to its place in the picture, whichever way the picture is stored', async () => {
    // left half and right half lose different parts: a cell read at the wrong end would show
    const halves = panel([96.3, 22.4, 24.1], 7);
    const other = panel([33.2, 62.9, 40.4], 8);
    for (let i = 0; i < halves.length; i++) if (Math.floor(i / 3) % SIZE.width >= 112) halves[i] = other[i];
    const jpeg = await picture(halves).jpeg({ quality: 92 }).toBuffer();
    const plain = decoderRounding(jpeg)!;
    for (let orientation = 1; orientation <= 8; orientation++) {
      const turned = decoderRounding(await withOrientation(jpeg, orientation))!;
      const [xx, xy, x0, yx, yy, y0] = turned.toStored;
      const upright = await sharp(await withOrientation(jpeg, orientation))
        .autoOrient()
        .raw()
        .toBuffer({
          resolveWithObject: true,
        });
      const stored = await sharp(jpeg).raw().toBuffer();
      for (const [x, y] of [
        [3, 5],
        [90, 40],
        [150, 160],
      ]) {
        const column = xx * x + xy * y + x0;
        const row = yx * x + yy * y + y0;
        const there = 3 * (row * SIZE.width + column);
        const here = 3 * (y * upright.info.width + x);
        expect([...upright.data.subarray(here, here + 3)]).toEqual([...stored.subarray(there, there + 3)]);
      }
      expect(turned.offsets).toEqual(plain.offsets);
    }
  });

  it('is read past restart markers', () => {
    // the same picture twice, the second with a restart marker behind every unit (jpegtran -restart 1B)
    const [plain, marked] = ['smooth', 'smooth-restarts'].map(
      (name) => decoderRounding(readFileSync(new URL(`../fixtures/${name}.jpg`, import.meta.url)))!.offsets,
    );
    expect(plain.some((offset) => Math.abs(offset) > 20)).toBe(true);
    expect(marked).toEqual(plain);
  });
});

describe('nothing is said of the rounding', () => {
  it.each([
    ['of a progressive JPEG', (i: Sharp) => i.jpeg({ progressive: true })],
    ['of a grey JPEG', (i: Sharp) => i.toColourspace('b-w').jpeg()],
    ['of a CMYK JPEG', (i: Sharp) => i.toColourspace('cmyk').jpeg()],
    ['of a PNG', (i: Sharp) => i.png()],
  ])('%s', async (_, encode) => {
    expect(decoderRounding(await encode(picture(panel([96, 22, 24], 1))).toBuffer())).toBeUndefined();
  });

  it('of a JPEG that is cut short', async () => {
    const jpeg = await picture(panel([96, 22, 24], 1))
      .jpeg({ quality: 90 })
      .toBuffer();
    expect(decoderRounding(jpeg)).toBeDefined();
    for (const share of [0.1, 0.4, 0.7, 0.98])
      expect(decoderRounding(jpeg.subarray(0, Math.floor(share * jpeg.length)))).toBeUndefined();
  });

  it('or it is the rounding of what stands there: spoilt bytes never make it fail', async () => {
    const jpeg = await picture(panel([121.8, 58.2, 21.3], 3))
      .jpeg({ quality: 80 })
      .toBuffer();
    const random = seededRandom(19);
    let answers = 0;
    for (let i = 0; i < 600; i++) {
      const rounding = decoderRounding(spoilBytes(new Uint8Array(jpeg), random));
      if (rounding && rounding.offsets.length > 0) answers++;
    }
    expect(answers).toBeGreaterThan(10);
  });
});

async function withOrientation(jpeg: Buffer, orientation: number): Promise<Buffer> {
  // the EXIF block alone goes in: the picture's own data stay as they are
  const exif = Buffer.from(
    `ffe10022457869660000${'4d4d002a00000008'}0001${'0112000300000001'}${orientation.toString(16).padStart(4, '0')}0000${'00000000'}`,
    'hex',
  );
  return Buffer.concat([jpeg.subarray(0, 2), exif, jpeg.subarray(2)]);
}
