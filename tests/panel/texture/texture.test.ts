import { describe, expect, it } from 'vitest';
import type { Lab } from '../../../src/core/color/index.ts';
import {
  compareTexture,
  evennessMap,
  type PhotoTexture,
  panelTexture,
} from '../../../src/core/panel/texture/index.ts';
import type { QuadPx, Raster } from '../../../src/core/photo/types.ts';
import { type FlakePanel, flakePhoto } from './painted-flakes.ts';

const PANEL: FlakePanel = { size_mm: 40, flake_mm: 0.5, cover: 0.3, gleam: 3, seed: 5 };

/** As a lens shows it: the photo's light blurred by a Gaussian, px. */
function throughLens(photo: Raster, sd_px: number): Raster {
  const n = photo.width_px;
  const light = Float64Array.from({ length: n * n }, (_, i) => photo.profile.decode[0][photo.data[3 * i]]);
  const reach = Math.ceil(4 * sd_px);
  const taps = Array.from({ length: 2 * reach + 1 }, (_, k) => Math.exp(-0.5 * ((k - reach) / sd_px) ** 2));
  const total = taps.reduce((a, b) => a + b, 0);
  const held = (k: number): number => Math.min(n - 1, Math.max(0, k));
  const pass = (from: Float64Array, along: (i: number, k: number) => number): Float64Array =>
    from.map((_, i) => taps.reduce((s, w, k) => s + (w / total) * from[along(i, k - reach)], 0));
  const across = pass(light, (i, k) => i - (i % n) + held((i % n) + k));
  const blurred = pass(across, (i, k) => held(Math.floor(i / n) + k) * n + (i % n));
  const encoded = (v: number): number =>
    Math.round(255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055));
  return {
    ...photo,
    data: Uint8Array.from({ length: 3 * n * n }, (_, i) => encoded(blurred[Math.floor(i / 3)])),
  };
}

function textureOf(raster: Raster, px_per_mm: number, photo?: PhotoTexture) {
  const n = raster.width_px;
  const corners: QuadPx = [
    [0, 0],
    [n, 0],
    [n, n],
    [0, n],
  ];
  return panelTexture(
    raster,
    corners,
    ([x, y]) => [x / px_per_mm, y / px_per_mm],
    'sparkle',
    photo && { photo },
  );
}

describe('sparkle', () => {
  it('is the same to within a tenth between 8 and 24 pixels a millimetre', () => {
    for (const flake_mm of [0.3, 0.6, 1]) {
      const figures = [8, 12, 16, 24].map(
        (px) => textureOf(flakePhoto({ ...PANEL, flake_mm }, px), px)!.figure,
      );
      expect(
        Math.max(...figures) / Math.min(...figures),
        `flakes of ${flake_mm} mm: ${figures}`,
      ).toBeLessThan(1.1);
    }
  });

  it('holds as much in its coarser bands in a photo of 9.3 pixels a millimetre as in finer and coarser ones', () => {
    const bands = [8.5, 9.3, 11].map((px) => textureOf(flakePhoto(PANEL, px), px)!.bands);
    for (const k of [0, 1]) {
      const contrasts = bands.map((b) => b[k].contrast);
      expect(Math.max(...contrasts) / Math.min(...contrasts), `${contrasts}`).toBeLessThan(1.04);
    }
  });

  it('of fine and of coarse flakes comes back from a lens whose blur the card has shown', () => {
    for (const flake_mm of [0.12, 0.5, 1.1]) {
      const sharp = flakePhoto({ ...PANEL, flake_mm }, 9);
      const [known, seen] = [
        textureOf(sharp, 9)!,
        textureOf(throughLens(sharp, 0.8), 9, { blur_px: 0.8, noise: () => 0 })!,
      ];
      for (const k of [0, 1, 2])
        expect(
          Math.abs(seen.bands[k].contrast / known.bands[k].contrast - 1),
          `flakes of ${flake_mm} mm, ${seen.bands[k].cycles_per_mm} a millimetre`,
        ).toBeLessThan(0.08);
    }
  });

  it('ranks six flake sizes', () => {
    const sizes = [0.1, 0.17, 0.28, 0.45, 0.7, 1.1];
    const figures = sizes.map((flake_mm) => textureOf(flakePhoto({ ...PANEL, flake_mm }, 12), 12)!.figure);
    expect([...figures].sort((a, b) => a - b)).toEqual(figures);
  });

  it('says nothing where the photo is too coarse for it', () => {
    expect(textureOf(flakePhoto(PANEL, 5), 5)).toBeUndefined();
  });

  it('says when most of it is finer than the photo shows', () => {
    const fine = textureOf(flakePhoto({ ...PANEL, flake_mm: 0.12 }, 12), 12)!;
    expect(fine.remarks.join()).toContain('come closer');
  });

  it('of flakes too bright for the photo is told as at least so much, and which sparkles more is left open', () => {
    const bright = flakePhoto({ ...PANEL, flake_mm: 1 }, 12);
    const whole = textureOf(bright, 12)!;
    // the same panel where what is brighter than some flakes is clipped, and dimmed the less
    const top = 175;
    const data = bright.data.map((v) => (v >= top ? 255 : v)) as Uint8Array;
    const decode = bright.profile.decode.map((table) => table.map((v, i) => (i > top ? table[top] : v)));
    const clipped = textureOf(
      { ...bright, data, profile: { ...bright.profile, decode: decode as never } },
      12,
    )!;
    expect(whole.clipped_gain).toBeLessThan(1.05);
    expect(clipped.clipped_gain).toBeGreaterThan(1.1);
    expect(clipped.figure).toBeLessThan(0.9 * whole.figure);
    expect(clipped.interval95[1]).toBeGreaterThan(whole.figure);
    expect(clipped.remarks.join()).toContain('expose darker');
    expect(compareTexture(clipped, whole, true)?.words).toContain(
      'too bright in the photo to tell which sparkles more',
    );
    const smooth = textureOf(flakePhoto({ ...PANEL, flake_mm: 0.2 }, 12), 12)!;
    expect(compareTexture(clipped, smooth, true)?.words).toBe('sparkles more, coarser');
  });

  it('is told as a comparison of two panels in one kind of light', () => {
    const coarse = textureOf(flakePhoto({ ...PANEL, flake_mm: 1 }, 12), 12)!;
    const fine = textureOf(flakePhoto({ ...PANEL, flake_mm: 0.3 }, 12), 12)!;
    expect(compareTexture(coarse, fine, true)?.words).toBe('sparkles more, coarser');
    expect(compareTexture(fine, coarse, true)?.words).toBe('sparkles less, finer');
    expect(compareTexture(coarse, coarse, true)?.words).toBe('no difference in texture told');
    expect(compareTexture(coarse, { ...fine, kind: 'graininess' }, true)).toBeUndefined();
  });
});

/** From where a rim is worth a word, ΔE. */
const RIM_SEEN = 0.6;
const SIDE = 24;
/** A map of a red candy of 60 × 60 mm whose light varies by a factor; places in mm. */
function mapOf(factor: (x_mm: number, y_mm: number) => number) {
  const labs = Array.from({ length: SIDE * SIDE }, (_, i): Lab => {
    const [x, y] = [i % SIDE, Math.floor(i / SIDE)].map((k) => ((k + 0.5) * 60) / SIDE);
    return [116 * Math.cbrt(0.12 * factor(x, y)) - 16, 45, 30];
  });
  return evennessMap(labs, SIDE, SIDE, [60, 60])!;
}
/** What a cell of a good photo scatters by, .3 %: a fixed pattern of no direction. */
const grain = (x: number, y: number): number =>
  1 + 0.003 * Math.sin(12.9 * x * x + 78.2 * y * y + 3.1 * x * y);

describe('the evenness map', () => {
  it('tells an even panel from one with stripes of 5 % in its light, and their spacing', () => {
    const even = mapOf(grain);
    expect([even.kind, even.stripes]).toEqual(['even', undefined]);
    for (const every_mm of [8, 13]) {
      const striped = mapOf((x, y) => grain(x, y) * (1 + 0.025 * Math.sin((2 * Math.PI * y) / every_mm)));
      expect([striped.kind, striped.stripes?.across]).toEqual(['stripes', 'rows']);
      expect(Math.abs(striped.stripes!.every_mm - every_mm)).toBeLessThan(1);
      // 5 % of light is a third of 5 % of (L* + 16), some .95 in L* from crest to trough here
      expect(striped.stripes!.de00).toBeGreaterThan(0.5);
      expect(striped.stripes!.de00).toBeLessThan(1.2);
    }
  });

  it('does not take light that falls off for stripes or a rim', () => {
    const falling = mapOf((x, y) => grain(x, y) * (1 + 0.003 * x - 0.00002 * (x - 20) ** 2));
    expect([falling.kind, falling.stripes]).toEqual(['even', undefined]);
  });

  it('tells a rim and clouds', () => {
    const inRim = (v: number): boolean => v < 4 || v > 56;
    const thin = mapOf((x, y) => grain(x, y) * (inRim(x) || inRim(y) ? 1.08 : 1));
    expect(thin.kind).toBe('edges');
    expect(thin.edges_de00).toBeGreaterThan(RIM_SEEN);
    const cloudy = mapOf((x, y) => grain(x, y) * (1 + 0.09 * Math.sin(x / 6) * Math.sin(y / 7 + 1)));
    expect(cloudy.kind).toBe('mottled');
    expect(mapOf(grain).edges_de00).toBeLessThan(0.2);
  });

  it('is none where too much is hidden, and has holes where little is', () => {
    const labs = Array.from({ length: SIDE * SIDE }, (): Lab => [40, 45, 30]);
    const holes = (share: number) => labs.map((lab, i) => (i < share * labs.length ? undefined : lab));
    expect(evennessMap(holes(0.5), SIDE, SIDE, [60, 60])).toBeUndefined();
    const map = evennessMap(holes(0.1), SIDE, SIDE, [60, 60])!;
    expect([map.de00[0], map.de00[SIDE * SIDE - 1], map.kind]).toEqual([undefined, 0, 'even']);
  });
});
