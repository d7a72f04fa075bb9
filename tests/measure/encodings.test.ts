/** One scene, many files: the colours belong to the scene, not to the container. */
import { beforeAll, describe, expect, it } from 'vitest';
import { iccProfile } from '../../samples/scene/index.ts';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { type MeasuredPhoto, measurePhoto } from '../../src/core/measure/index.ts';
import type { Raster } from '../../src/core/photo/index.ts';
import { benchScene, mean, reread, type TakenPhoto, takePhoto, truePlaces } from './rendered.ts';

const SIZE = { width_px: 1100, height_px: 825 };

let photo: TakenPhoto;
let measured: MeasuredPhoto;

beforeAll(async () => {
  // colours well inside sRGB: pale blends in daylight
  photo = await takePhoto(benchScene(3301, { light: 'day', panels: 5 }), SIZE, { format: 'png' });
  measured = measure(photo.raster);
});

const measure = (raster: Raster): MeasuredPhoto =>
  measurePhoto(raster, { card: photo.card, panels: truePlaces(photo) });

/** ΔE2000 of each panel between two measurements. */
function differences(a: MeasuredPhoto, b: MeasuredPhoto): number[] {
  expect(b.panels).toHaveLength(a.panels.length);
  return a.panels.map((p, i) => deltaE2000(p.lab, b.panels[i].lab as Lab));
}

function furthest(a: MeasuredPhoto, b: MeasuredPhoto): number {
  return Math.max(...differences(a, b));
}

describe('the same pixels in another file', () => {
  it('give the same colours as JPEG of quality 90, with full or halved chroma', async () => {
    const apart: Record<'full' | 'halved', number[]> = { full: [], halved: [] };
    for (const seed of [3301, 3302, 3306]) {
      const { rendered, raster, card } = await takePhoto(
        benchScene(seed, { light: 'day', panels: 5 }),
        {},
        { format: 'png' },
      );
      const panels = truePlaces({ rendered });
      const sharp = measurePhoto(raster, { card, panels });
      for (const chroma of ['full', 'halved'] as const) {
        const coarse = await reread(rendered, { format: 'jpeg', fullChroma: chroma === 'full' });
        apart[chroma].push(...differences(sharp, measurePhoto(coarse, { card, panels })));
      }
    }
    for (const chroma of ['full', 'halved'] as const) {
      expect(mean(apart[chroma])).toBeLessThan(0.12);
      expect(Math.max(...apart[chroma])).toBeLessThan(0.45);
    }
  });

  it('give the very same colours as TIFF and as lossless WebP', async () => {
    for (const file of [{ format: 'tiff' }, { format: 'webp', lossless: true }] as const)
      expect(furthest(measured, measure(await reread(photo.rendered, file)))).toBeLessThan(1e-9);
  });

  it('give the same colours when no profile says that they are sRGB', async () => {
    const raster = await reread(photo.rendered, { format: 'png', withoutProfile: true });
    expect(furthest(measured, measure(raster))).toBeLessThan(0.05);
  });

  it('give the same colours however the camera was held', async () => {
    const upright = await reread(photo.rendered, { format: 'png', orientation: 1 });
    for (let orientation = 1; orientation <= 8; orientation++) {
      const raster = await reread(photo.rendered, { format: 'png', orientation });
      expect([raster.width_px, raster.height_px]).toEqual([SIZE.width_px, SIZE.height_px]);
      expect(Buffer.compare(raster.data as Uint8Array, upright.data as Uint8Array)).toBe(0);
    }
    expect(furthest(measured, measure(upright))).toBeLessThan(1e-9);
    // JPEG works in blocks, which lie otherwise once the picture is stored turned
    const finest = { format: 'jpeg', fullChroma: true, quality: 98 } as const;
    const held = measure(await reread(photo.rendered, { ...finest, orientation: 1 }));
    for (const orientation of [3, 5, 6, 8])
      expect(furthest(held, measure(await reread(photo.rendered, { ...finest, orientation })))).toBeLessThan(
        0.1,
      );
  });

  it('give the same colours with the photo turned under the card', async () => {
    const upright = measurePhoto(photo.raster, { card: photo.card });
    // the pixels themselves turned by EXIF's eight ways, shown as stored: mirrored ones hold no card
    for (const orientation of [3, 6, 8]) {
      const stored = storedTurned(photo.raster, orientation);
      const found = measurePhoto(stored, { card: photo.card });
      const nearest = upright.panels.map((p) =>
        Math.min(...found.panels.map((q) => deltaE2000(p.lab, q.lab as Lab))),
      );
      expect(found.panels).toHaveLength(upright.panels.length);
      expect(Math.max(...nearest)).toBeLessThan(0.25);
    }
  });
});

/** A raster turned by half a turn (3) or a quarter (6, 8). */
function storedTurned({ width_px: w, height_px: h, data, ...rest }: Raster, orientation: number): Raster {
  const swaps = orientation !== 3;
  const [width_px, height_px] = swaps ? [h, w] : [w, h];
  const turned = new Uint8Array(data.length);
  for (let y = 0; y < height_px; y++)
    for (let x = 0; x < width_px; x++) {
      const [sx, sy] =
        orientation === 3 ? [w - 1 - x, h - 1 - y] : orientation === 6 ? [y, h - 1 - x] : [w - 1 - y, x];
      for (let c = 0; c < 3; c++) turned[3 * (y * width_px + x) + c] = data[3 * (sy * w + sx) + c];
    }
  return { ...rest, width_px, height_px, data: turned };
}

// IEC 61966-2-1 and SMPTE EG 432-1, both D65: linear sRGB to linear Display P3
const SRGB_TO_P3 = [
  0.8224621, 0.177538, 0, 0.0331941, 0.9668058, 0, 0.0170827, 0.0723974, 0.9105199,
] as const;

function decoded(code: number): number {
  const v = code / 255;
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
}

function encoded(linear: number, levels: number): number {
  const v = linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
  return Math.round(levels * Math.min(1, Math.max(0, v)));
}

/** Codes of a picture in sRGB, said in Display P3. */
function inDisplayP3(codes: Uint8Array | Uint16Array, levels: 255 | 65535): Uint8Array | Uint16Array {
  const made = levels === 255 ? new Uint8Array(codes.length) : new Uint16Array(codes.length);
  const table = Float64Array.from({ length: 256 }, (_, code) => decoded(code));
  for (let i = 0; i < codes.length; i += 3) {
    const [r, g, b] = [table[codes[i]], table[codes[i + 1]], table[codes[i + 2]]];
    for (let c = 0; c < 3; c++)
      made[i + c] = encoded(
        SRGB_TO_P3[3 * c] * r + SRGB_TO_P3[3 * c + 1] * g + SRGB_TO_P3[3 * c + 2] * b,
        levels,
      );
  }
  return made;
}

describe('the same scene as sRGB and as Display P3', () => {
  it.each([
    ['8', 255],
    ['16', 65535],
  ] as const)('gives the same colours (%s bit)', async (_, levels) => {
    const data = inDisplayP3(photo.rendered.data, levels);
    const raster = await reread(
      { ...photo.rendered, data, profile: { ...photo.rendered.profile, name: 'Display P3' } },
      { format: 'png' },
    );
    expect(raster.profile.name).toBe('Display P3');
    expect(furthest(measured, measure(raster))).toBeLessThan(0.3);
  });
});

describe('linear pixels of 16 bit', () => {
  it('are known for linear by themselves: with and without a profile that says so, the same colours', async () => {
    for (const [i, light] of (['day', 'tri-phosphor'] as const).entries()) {
      const linear = await takePhoto(benchScene(3310 + i, { light, pixels: 'linear', panels: 5 }), SIZE);
      const panels = truePlaces(linear);
      const silent = await reread(linear.rendered, { withoutProfile: true });
      expect(linear.raster.profile.isLinear).toBe(true);
      expect(silent.profile.source).toBe('assumed');
      expect(silent.profile.isLinear).toBe(false);
      const said = measurePhoto(linear.raster, { card: linear.card, panels });
      const told = measurePhoto(silent, { card: linear.card, panels });
      expect(furthest(said, told)).toBeLessThan(0.3);
      const errors = said.panels.map((p, k) => deltaE2000(p.lab, linear.rendered.truth.panels[k].lab as Lab));
      expect(errors.reduce((a, b) => a + b, 0) / errors.length).toBeLessThan(2);
    }
  });

  it('give the same colours when a wrong profile is no profile: a broken one is set aside', async () => {
    const broken = iccProfile('sRGB').slice(0, 90);
    const raster = await reread(photo.rendered, { format: 'png', icc: broken });
    expect(raster.profile.source).toBe('assumed');
    expect(furthest(measured, measure(raster))).toBeLessThan(0.05);
  });
});
