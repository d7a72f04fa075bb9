import { describe, expect, it } from 'vitest';
import type { Lab } from '../../../src/core/color/index.ts';
import { evennessMap, panelTexture, textureWords } from '../../../src/core/panel/texture/index.ts';
import type { QuadPx, Raster } from '../../../src/core/photo/types.ts';
import { type FlakePanel, flakePhoto } from './painted-flakes.ts';

const PANEL: FlakePanel = { size_mm: 40, flake_mm: 0.5, cover: 0.3, gleam: 3, seed: 5 };

function textureOf(raster: Raster, px_per_mm: number) {
  const n = raster.width_px;
  const corners: QuadPx = [
    [0, 0],
    [n, 0],
    [n, n],
    [0, n],
  ];
  return panelTexture(raster, corners, ([x, y]) => [x / px_per_mm, y / px_per_mm], 'sparkle');
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

  it('is told as a comparison of two panels in one kind of light', () => {
    const coarse = textureOf(flakePhoto({ ...PANEL, flake_mm: 1 }, 12), 12)!;
    const fine = textureOf(flakePhoto({ ...PANEL, flake_mm: 0.3 }, 12), 12)!;
    expect(textureWords(coarse, fine)).toMatch(/^sparkles more/);
    expect(textureWords(coarse, coarse)).toBe('no difference in texture told');
    expect(textureWords(coarse, { ...fine, kind: 'graininess' })).toBeUndefined();
  });
});

/** A grid of 10 × 10 cells of a red candy whose light varies by a factor. */
function cells(factor: (x: number, y: number) => number): Lab[] {
  return Array.from({ length: 100 }, (_, i) => {
    const y = 0.12 * factor(i % 10, Math.floor(i / 10));
    return [116 * Math.cbrt(y) - 16, 45, 30];
  });
}
/** What a cell of a good photo scatters by, .3 %: a fixed pattern of no direction. */
const grain = (x: number, y: number): number =>
  1 + 0.003 * Math.sin(12.9 * x * x + 78.2 * y * y + 3.1 * x * y);

describe('the evenness map', () => {
  it('tells an even panel from one with stripes of 5 % in its light', () => {
    const even = evennessMap(cells(grain), 10, 10);
    const striped = evennessMap(
      cells((x, y) => grain(x, y) * (y % 2 === 0 ? 1.025 : 0.975)),
      10,
      10,
    );
    expect(even.stripes_along).toBeUndefined();
    expect(striped.stripes_along).toBe('rows');
    // 5 % of light is 1/3 · 5 % of (L* + 16), some 0.95 in L* peak to peak here
    expect(striped.stripes_de00).toBeGreaterThan(0.3);
    expect(striped.mean_de00).toBeGreaterThan(3 * even.mean_de00);
  });

  it('does not take light that falls off for stripes', () => {
    expect(
      evennessMap(
        cells((x, y) => grain(x, y) * (1 + 0.02 * x)),
        10,
        10,
      ).stripes_along,
    ).toBeUndefined();
  });

  it('tells thin edges', () => {
    const thin = evennessMap(
      cells((x, y) => grain(x, y) * (x === 0 || y === 0 || x === 9 || y === 9 ? 1.08 : 1)),
      10,
      10,
    );
    expect(thin.edges_de00).toBeGreaterThan(0.8);
    expect(evennessMap(cells(grain), 10, 10).edges_de00).toBeLessThan(0.2);
  });
});
