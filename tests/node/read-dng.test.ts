import { describe, expect, it } from 'vitest';
import { randomScene, renderScene, type SceneOptions } from '../../samples/scene/index.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { deltaE2000 } from '../../src/core/color/index.ts';
import { measurePhoto } from '../../src/core/measure/index.ts';
import type { QuadPx, Raster } from '../../src/core/photo/index.ts';
import { readPhoto } from '../../src/node/read-photo.ts';
import { type DngOptions, dngFile, type LightPicture } from './dng-file.ts';

/** Four columns of light that rises, another in each channel. */
const STEPS: LightPicture = {
  width_px: 24,
  height_px: 16,
  light: (x, _y, c) => (0.1 + 0.2 * Math.floor(x / 6)) * [1, 0.8, 0.5][c],
};

async function stepsOf(options: DngOptions): Promise<Raster> {
  return (await readPhoto(dngFile(STEPS, options), 'steps.dng')).raster;
}

const at = ({ data, width_px }: Raster, x: number, y: number): number[] =>
  [0, 1, 2].map((c) => data[3 * (y * width_px + x) + c] / 65535);

describe('a raw photo', () => {
  it('is binned two by two, its black taken off and its white balanced', async () => {
    const raster = await stepsOf({ neutral: [0.5, 1, 0.6] });
    expect([raster.width_px, raster.height_px, raster.bits]).toEqual([12, 8, 16]);
    for (const [column, level] of [
      [1, 0.1],
      [4, 0.3],
      [7, 0.5],
      [10, 0.7],
    ])
      for (const [c, v] of at(raster, column, 4).entries())
        expect(v).toBeCloseTo(level * [1, 0.8, 0.5][c], 3);
  });

  it('is linear: no response has to be found', async () => {
    expect((await stepsOf({})).profile).toMatchObject({ isLinear: true, source: 'embedded' });
  });

  it.each<[string, DngOptions]>([
    ['12 bits packed', { bits: 12, black: 64 }],
    ['the other byte order', { bigEndian: true }],
    ['lossless JPEG', { compression: 'lossless-jpeg' }],
  ])('holds the same light as %s', async (_, options) => {
    const plain = await stepsOf({});
    const other = await stepsOf(options);
    for (const x of [1, 4, 7, 10])
      for (const c of [0, 1, 2]) expect(at(other, x, 3)[c]).toBeCloseTo(at(plain, x, 3)[c], 2.5);
  });

  it('of linear RGB keeps its size, and is the same as lossless JPEG', async () => {
    const plain = await stepsOf({ layout: 'linear' });
    expect([plain.width_px, plain.height_px]).toEqual([24, 16]);
    expect(at(plain, 20, 9)[1]).toBeCloseTo(0.7 * 0.8, 3);
    const jpeg = await stepsOf({ layout: 'linear', compression: 'lossless-jpeg' });
    expect(jpeg.data).toEqual(plain.data);
  });

  it('is turned upright', async () => {
    const raster = await stepsOf({ orientation: 6 });
    expect([raster.width_px, raster.height_px]).toEqual([8, 12]);
    // stored left becomes top, with a quarter turn clockwise
    expect(at(raster, 3, 1)[0]).toBeCloseTo(0.1, 3);
    expect(at(raster, 3, 10)[0]).toBeCloseTo(0.7, 3);
  });

  it('that is cut short, or compressed in another way, is refused with what to do', async () => {
    const whole = dngFile(STEPS, {});
    await expect(readPhoto(whole.subarray(0, whole.length - 100), 'a.dng')).rejects.toMatchObject({
      code: 'image-unsupported',
      hint: expect.stringContaining('TIFF'),
    });
    const broken = dngFile(STEPS, { compression: 'lossless-jpeg' });
    await expect(readPhoto(broken.subarray(0, broken.length - 300), 'b.dng')).rejects.toMatchObject({
      code: 'image-unsupported',
    });
  });
});

describe('a raw photo and a JPEG of one bench', () => {
  it('agree within their intervals, and with the truth', async () => {
    const options: SceneOptions = {
      family: 'judge',
      pixels: 'linear',
      card: OWN_CARD,
      cardTier: 'measured',
      panels: 4,
      light: 'day',
    };
    const size = { width_px: 2400, height_px: 1800, glareChance: 0, noise: 1 };
    const raw = renderScene(randomScene(31, options), size);
    const file = dngFile(
      { ...size, light: (x, y, c) => raw.data[3 * (y * size.width_px + x) + c] / 65535 },
      { bits: 16, white: 16383, black: 512 },
    );
    const half = (q: readonly (readonly number[])[]): QuadPx =>
      q.map(([x, y]) => [x / 2, y / 2]) as unknown as QuadPx;
    const measured = (raster: Raster, scale: (q: readonly (readonly number[])[]) => QuadPx) =>
      measurePhoto(raster, {
        card: OWN_CARD,
        panels: {
          format: 'sprayout-panels/1',
          panels: raw.truth.panels.map((p) => ({ id: p.id, corners_px: scale(p.corners_px) as never })),
        },
      });
    const { raster } = await readPhoto(file, 'bench.dng');
    const fromRaw = measured(raster, half);
    const jpeg = renderScene(randomScene(31, { ...options, pixels: 'jpeg' }), { ...size, pose: raw.pose });
    const { photoFile } = await import('../../samples/scene/index.ts');
    const { raster: jpegRaster } = await readPhoto(await photoFile(jpeg, { format: 'jpeg' }), 'bench.jpg');
    const fromJpeg = measured(jpegRaster, (q) => q as unknown as QuadPx);
    raw.truth.panels.forEach(({ lab }, i) => {
      const [a, b] = [fromRaw.panels[i], fromJpeg.panels[i]];
      for (let k = 0; k < 3; k++)
        expect(Math.abs(a.lab[k] - b.lab[k])).toBeLessThan(Math.hypot(a.u95[k], b.u95[k]));
      expect(deltaE2000(a.lab, lab)).toBeLessThan(2.5);
    });
  }, 60_000);
});
