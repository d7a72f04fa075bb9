import { converter, type Rgb } from 'culori';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { panelCrop } from '../../src/core/board/crop/index.ts';
import { middleWithAspect, rectify } from '../../src/core/board/crop/rectify.ts';
import { embedProfile, encodeTrue, outputProfile, type PanelCrop } from '../../src/core/board/index.ts';
import { deltaE2000, type Lab, labFromXyz } from '../../src/core/color/index.ts';
import { multiply3, type Vec3 } from '../../src/core/math/linear.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { profileFromIcc, srgbProfile } from '../../src/core/photo/index.ts';
import { pointInQuadAt } from '../../src/core/photo/polygon.ts';
import { PCS_WHITE, pcsFromPrimaries, SRGB_PRIMARIES } from '../../src/core/photo/primaries.ts';
import type { PointPx, QuadPx, Raster } from '../../src/core/photo/types.ts';

const WIDTH = 400;
const HEIGHT = 300;
const PANEL: QuadPx = [
  [60, 40],
  [330, 62],
  [316, 268],
  [72, 250],
];

/** A photo painted by what each pixel is to read, encoded 0–255. */
function photo(paint: (x: number, y: number) => readonly number[]): Raster {
  const data = new Uint8Array(3 * WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++)
    for (let x = 0; x < WIDTH; x++)
      data.set(
        paint(x, y).map((v) => Math.max(0, Math.min(255, Math.round(v)))),
        3 * (y * WIDTH + x),
      );
  return { width_px: WIDTH, height_px: HEIGHT, bits: 8, data, profile: srgbProfile(8) };
}

const toPcs = pcsFromPrimaries(SRGB_PRIMARIES);
/** A correction that takes the file at its word, but three L* too light and a little too red. */
const wrongByALittle = (linear: Vec3): Lab => {
  const [l, a, b] = labFromXyz(multiply3(toPcs, linear), PCS_WHITE);
  return [l + 3, a + 2, b - 1];
};

function crop(raster: Raster, lab: Lab, more: Partial<Parameters<typeof panelCrop>[0]> = {}): PanelCrop {
  return panelCrop({
    raster,
    corners_px: PANEL,
    toMm: ([x, y]) => [x / 4, y / 4],
    labAt: wrongByALittle,
    lab,
    white: 'D50/2',
    margin: 0.1,
    aspect: 1,
    longest_px: 300,
    space: 'sRGB',
    ...more,
  });
}

/** CIELAB under D50 of the mean light of pixels, by culori (Bradford, CSS Color 4). */
function meanLab({ rgb, space }: Pick<PanelCrop, 'rgb' | 'space'>): Lab {
  const linear = (v: number): number => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
  const encode = (v: number): number => (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
  const sum = [0, 0, 0];
  for (let i = 0; i < rgb.length; i++) sum[i % 3] += linear(rgb[i] / 255);
  const [r, g, b] = sum.map((s) => encode((3 * s) / rgb.length));
  const { l, a, b: blue } = converter('lab')({ mode: space === 'sRGB' ? 'rgb' : 'p3', r, g, b } as Rgb);
  return [l, a, blue];
}

const random = seededRandom(5);
const even = photo(() => [140, 62, 48]);
const sparkling = photo(() => {
  const flake = random.uniform() < 0.06 ? 70 : 0;
  return [132, 60, 46].map((v) => v + flake + 5 * random.normal());
});

describe('a panel’s picture', () => {
  it.each<[string, Raster, Lab]>([
    ['even', even, [41.9, 37.6, 33.4]],
    ['sparkling', sparkling, [41.9, 37.6, 33.4]],
    ['dark', photo(() => [42, 22, 20]), [15.2, 9.4, 5.1]],
    ['bare silver', sparkling, [72.2, -0.5, -1.2]],
  ])('has the measured colour as its mean light: %s', (_, raster, lab) => {
    const made = crop(raster, lab);
    expect(made.isWithinSpace).toBe(true);
    expect(deltaE2000(meanLab(made), lab)).toBeLessThan(0.1);
    expect(deltaE2000(made.shown_lab, lab)).toBeLessThan(0.1);
  });

  it.each<[string, Lab]>([
    ['garnet', [41.9, 37.6, 33.4]],
    ['pink', [47.3, 35, 16]],
    ['silver', [72.2, -0.5, -1.2]],
  ])('still has it as the JPEG that a board carries, whose format rounds chroma: %s', async (_, lab) => {
    for (const raster of [even, sparkling]) {
      const made = crop(raster, lab);
      const jpeg = await encodeTrue(
        made,
        (rgb) =>
          sharp(rgb, { raw: { width: made.width_px, height: made.height_px, channels: 3 } })
            .jpeg({ quality: 93, chromaSubsampling: '4:4:4' })
            .toBuffer(),
        (file) => sharp(file).raw().toBuffer(),
      );
      const rgb = new Uint8Array(await sharp(jpeg).raw().toBuffer());
      expect(deltaE2000(meanLab({ rgb, space: 'sRGB' }), lab)).toBeLessThan(0.3);
    }
  });

  it('keeps the sparkle: bright flakes stay as much brighter than what lies round them', () => {
    const brightness = (made: PanelCrop): number => {
      const y = Array.from({ length: made.rgb.length / 3 }, (_, i) => made.rgb[3 * i + 1]).sort(
        (a, b) => a - b,
      );
      return y[Math.floor(0.98 * y.length)] / y[y.length >> 1];
    };
    const lab: Lab = [41.9, 37.6, 33.4];
    expect(brightness(crop(sparkling, lab))).toBeGreaterThan(1.15);
    expect(brightness(crop(even, lab))).toBeLessThan(1.03);
  });

  it('says when the file cannot show the colour, shows a paler one of its lightness and hue, and Display P3 shows more', () => {
    const strong: Lab = [50, 60, 75];
    const plain = crop(even, strong);
    expect(plain.isWithinSpace).toBe(false);
    const [l, a, b] = meanLab(plain);
    expect(l).toBeCloseTo(50, 0);
    expect(Math.atan2(b, a)).toBeCloseTo(Math.atan2(75, 60), 1);
    expect(Math.hypot(a, b)).toBeLessThan(Math.hypot(60, 75));
    const wide = crop(even, strong, { space: 'auto' });
    expect(wide.space).toBe('Display P3');
    expect(wide.isWithinSpace).toBe(true);
    expect(deltaE2000(meanLab(wide), strong)).toBeLessThan(0.3);
    expect(crop(even, [42, 30, 20], { space: 'auto' }).space).toBe('sRGB');
  });

  it('does not let a lamp’s reflection darken the rest: the surface beside it keeps the measured colour', () => {
    const glaring = photo((x, y) => (Math.hypot(x - 150, y - 110) < 22 ? [255, 250, 245] : [140, 62, 48]));
    const lab: Lab = [41.9, 37.6, 33.4];
    const made = crop(glaring, lab);
    const corner = new Uint8Array(made.rgb.subarray(made.rgb.length - 3 * made.width_px * 40));
    expect(deltaE2000(meanLab({ rgb: corner, space: 'sRGB' }), lab)).toBeLessThan(0.3);
  });

  it('undoes the light’s fall-off that the correction knows of', () => {
    const lit = photo((x) => [140, 62, 48].map((v) => v * (0.8 + (0.4 * x) / WIDTH)));
    const knows = (linear: Vec3, [x]: PointPx): Lab => {
      const field = (0.8 + (0.4 * x) / WIDTH) ** 2.2;
      return wrongByALittle(linear.map((v) => v / field) as unknown as Vec3);
    };
    const made = crop(lit, [41.9, 37.6, 33.4], { labAt: knows });
    const column = (from: number): Uint8Array =>
      Uint8Array.from({ length: 3 * made.height_px * 20 }, (_, i) => {
        const pixel = Math.floor(i / 3);
        return made.rgb[3 * (Math.floor(pixel / 20) * made.width_px + from + (pixel % 20)) + (i % 3)];
      });
    const [left, right] = [column(4), column(made.width_px - 24)].map((rgb) =>
      meanLab({ rgb, space: 'sRGB' }),
    );
    expect(Math.abs(left[0] - right[0])).toBeLessThan(1.2);
  });
});

describe('rectifying', () => {
  it('puts what lies at a place of the panel at that place of the picture', () => {
    // a bright spot at a quarter across and three quarters down the panel
    const [sx, sy] = pointInQuadAt(PANEL, 0.25, 0.75);
    const spotted = photo((x, y) =>
      Math.hypot(x + 0.5 - sx, y + 0.5 - sy) < 6 ? [250, 250, 250] : [40, 40, 40],
    );
    const { linear } = rectify(spotted, PANEL, 120, 100);
    let [x, y, mass] = [0, 0, 0];
    for (let i = 0; i < 120 * 100; i++) {
      const m = linear[3 * i] > 0.3 ? linear[3 * i] : 0;
      x += m * ((i % 120) + 0.5);
      y += m * (Math.floor(i / 120) + 0.5);
      mass += m;
    }
    expect(x / mass / 120).toBeCloseTo(0.25, 2);
    expect(y / mass / 100).toBeCloseTo(0.75, 2);
  });

  it('averages light over the area each pixel covers: a fine check becomes its mean light, whatever the size', () => {
    const check = photo((x, y) => ((x + y) % 2 ? [255, 255, 255] : [0, 0, 0]));
    for (const size of [10, 23]) {
      const { linear } = rectify(check, PANEL, size, size);
      expect(Math.min(...linear)).toBeGreaterThan(0.4);
      expect(Math.max(...linear)).toBeLessThan(0.6);
    }
  });

  it('cuts out a part of the wanted proportions, true to the panel’s own size', () => {
    const toMm = ([x, y]: PointPx): readonly [number, number] => [x / 4, y / 4];
    const panel: QuadPx = [
      [0, 0],
      [300, 0],
      [300, 200],
      [0, 200],
    ];
    const [a, b, , d] = middleWithAspect(panel, toMm, 0.1, 1);
    expect(b[0] - a[0]).toBeCloseTo(d[1] - a[1], 6);
    expect(d[1] - a[1]).toBeCloseTo(160, 6);
  });
});

describe('the profile in a picture', () => {
  it.each(['sRGB', 'Display P3'] as const)('is %s as our own reader has it', (space) => {
    const { profile, warnings } = profileFromIcc(outputProfile(space), 8);
    expect(warnings).toEqual([]);
    expect(profile.name).toBe(space);
    expect(profile.isLinear).toBe(false);
  });

  it.each(['png', 'jpeg'] as const)(
    'is followed by Little CMS in a %s: Display P3 values come out as sRGB as culori converts them',
    async (format) => {
      const values = [180, 90, 70];
      const raw = Uint8Array.from({ length: 3 * 64 * 64 }, (_, i) => values[i % 3]);
      const made = sharp(raw, { raw: { width: 64, height: 64, channels: 3 } });
      const plain = await (format === 'png'
        ? made.png()
        : made.jpeg({ quality: 100, chromaSubsampling: '4:4:4' })
      ).toBuffer();
      const file = embedProfile(plain, outputProfile('Display P3'));
      expect((await sharp(file).metadata()).icc?.length).toBe(outputProfile('Display P3').length);
      const srgb = await sharp(file).toColourspace('srgb').raw().toBuffer();
      const wanted = converter('rgb')({ mode: 'p3', r: 180 / 255, g: 90 / 255, b: 70 / 255 });
      for (const [i, v] of [wanted.r, wanted.g, wanted.b].entries())
        expect(Math.abs(srgb[i] - 255 * v)).toBeLessThan(2);
    },
  );

  it('goes into no other kind of file', () => {
    expect(() => embedProfile(Uint8Array.of(71, 73, 70, 56), outputProfile('sRGB'))).toThrow(RangeError);
  });
});
