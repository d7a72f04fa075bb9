import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { photoFile } from '../../samples/scene/index.ts';

/** A picture with a different colour in each quarter. */
const width_px = 48;
const height_px = 32;
const quarters = [
  [230, 40, 30],
  [40, 200, 60],
  [50, 60, 220],
  [240, 240, 235],
];
const data = Uint8Array.from({ length: 3 * width_px * height_px }, (_, i) => {
  const pixel = Math.floor(i / 3);
  const right = pixel % width_px >= width_px / 2 ? 1 : 0;
  const below = pixel >= (width_px * height_px) / 2 ? 2 : 0;
  return quarters[right + below][i % 3];
});
const picture = { width_px, height_px, data, profile: { name: 'sRGB' } };

describe('photo files, read back by sharp', () => {
  test.each(['jpeg', 'png', 'tiff', 'webp'] as const)(
    '%s in all eight orientations shows upright',
    async (format) => {
      for (let orientation = 1; orientation <= 8; orientation++) {
        const file = await photoFile(picture, {
          format,
          orientation,
          quality: 100,
          fullChroma: true,
          lossless: true,
        });
        const meta = await sharp(file).metadata();
        expect(meta.format).toBe(format);
        expect(meta.orientation).toBe(orientation);
        expect(meta.icc).toBeDefined();
        const upright = await sharp(file).keepIccProfile().autoOrient().raw().toBuffer();
        const worst = upright.reduce((most, v, i) => Math.max(most, Math.abs(v - data[i])), 0);
        expect(worst).toBeLessThanOrEqual(format === 'jpeg' ? 8 : 0);
      }
    },
  );

  test('16-bit linear pixels survive in TIFF and PNG', async () => {
    const wide = Uint16Array.from(data, (v) => v * 200 + 77);
    for (const format of ['tiff', 'png'] as const) {
      const file = await photoFile({ ...picture, data: wide, profile: { name: 'linear' } }, { format });
      const raw = await sharp(file)
        .keepIccProfile()
        .toColourspace('rgb16')
        .raw({ depth: 'ushort' })
        .toBuffer();
      expect(new Uint16Array(raw.buffer, raw.byteOffset, raw.length / 2)).toEqual(wide);
    }
  });

  test('a colour engine reads the Display P3 profile as published: sRGB’s red is P3 (.9175, .2003, .1387)', async () => {
    // values of the CSS Color 4 sample conversions, by the matrices of SMPTE EG 432-1 and IEC 61966-2-1
    const red = Uint8Array.from({ length: 3 * 64 }, (_, i) =>
      Math.round([0.9175, 0.2003, 0.1387][i % 3] * 255),
    );
    const file = await photoFile(
      { width_px: 8, height_px: 8, data: red, profile: { name: 'Display P3' } },
      { format: 'png' },
    );
    const converted = await sharp(file).toColourspace('srgb').raw().toBuffer();
    expect(converted[0]).toBeGreaterThanOrEqual(253);
    expect(converted[1]).toBeLessThanOrEqual(6);
    expect(converted[2]).toBeLessThanOrEqual(6);
  });

  test('the linear profile says so: half the light shows as sRGB 188', async () => {
    const half = new Uint16Array(3 * 64).fill(32768);
    const file = await photoFile(
      { width_px: 8, height_px: 8, data: half, profile: { name: 'linear' } },
      { format: 'tiff' },
    );
    const shown = await sharp(file).toColourspace('srgb').raw({ depth: 'uchar' }).toBuffer();
    for (const v of shown) expect(Math.abs(v - 188)).toBeLessThanOrEqual(1);
  });

  test('without a profile when asked', async () => {
    const file = await photoFile(picture, { format: 'jpeg', withoutProfile: true });
    expect((await sharp(file).metadata()).icc).toBeUndefined();
  });
});
