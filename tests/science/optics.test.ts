import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  CLEAR_SURFACE,
  filmOverGround,
  hidingReflectance,
  innerReflectance,
  kOverS,
  layerOverGround,
  saunderson,
  surfaceReflectance,
} from '../../src/core/optics/index.ts';

const share = fc.double({ min: 0.001, max: 0.999, noNaN: true });

describe('Kubelka–Munk K/S = (1−R)²/2R (Kubelka and Munk 1931)', () => {
  it.each([
    [0.05, 9.025],
    [0.1, 4.05],
    [0.2, 1.6],
    [0.5, 0.25],
    [1, 0],
  ])('a hiding layer of R %d has K/S %d', (r, expected) => {
    expect(kOverS(r)).toBeCloseTo(expected, 12);
    expect(hidingReflectance(expected)).toBeCloseTo(r, 12);
  });
});

describe('the surface (Saunderson 1942), k1 = .04, k2 = .6', () => {
  const table = [
    [0, 0.04],
    [0.1, 0.080851],
    [0.25, 0.152941],
    [0.5, 0.314286],
    [0.75, 0.563636],
    [1, 1],
  ] as const;
  it.each(table)('inner reflectance %d is seen as %d', (inner, seen) => {
    expect(surfaceReflectance([inner], saunderson(0.04, 0.6))[0]).toBeCloseTo(seen, 6);
  });
  it('is undone by its inverse, whatever the surface', () => {
    fc.assert(
      fc.property(share, share, share, (inner, f, k2) => {
        const back = innerReflectance(surfaceReflectance([inner], { f, k2 }), { f, k2 })[0];
        expect(back).toBeCloseTo(inner, 9);
      }),
    );
  });
});

describe('a finite layer over a ground (Kubelka 1948), K = .2, S = 1', () => {
  it.each([
    [0.05, 1, 0.434945],
    [0.8, 1, 0.618481],
  ])('over Rg %d with X = %d reflects %d', (ground, x, expected) => {
    expect(layerOverGround(ground, 0.2, 1, x)).toBeCloseTo(expected, 6);
  });
  it('hides any ground when it is thick: R∞ = .536675', () => {
    expect(hidingReflectance(0.2)).toBeCloseTo(0.536675, 6);
    expect(layerOverGround(0.05, 0.2, 1, 50)).toBeCloseTo(0.536675, 6);
    expect(layerOverGround(0.8, 0.2, 1, 50)).toBeCloseTo(0.536675, 6);
  });
  it('composes: two layers of .5 are one layer of 1', () => {
    fc.assert(
      fc.property(share, share, share, (ground, k, s) => {
        const halves = layerOverGround(layerOverGround(ground, k, s, 0.5), k, s, 0.5);
        expect(halves).toBeCloseTo(layerOverGround(ground, k, s, 1), 9);
      }),
    );
  });
  it('tends to the clear film of Bouguer, Lambert and Beer as scattering vanishes', () => {
    const clear = filmOverGround([0.7], [2 * 0.8 * 1.5])[0];
    expect(layerOverGround(0.7, 0.8, 1e-9, 1.5)).toBeCloseTo(clear, 6);
    expect(layerOverGround(0.7, 0.8, 0, 1.5)).toBeCloseTo(clear, 12);
  });
  it('tends to the white layer as absorption vanishes: R = (Rg + (1−Rg) S X) / (1 + (1−Rg) S X)', () => {
    const sx = 1.3;
    expect(layerOverGround(0.3, 1e-12, 1, sx)).toBeCloseTo((0.3 + 0.7 * sx) / (1 + 0.7 * sx), 9);
  });
});

describe('a clear film over a ground', () => {
  it('is the bare ground without absorbance and φ·Rg when nothing passes', () => {
    const [bare, dark] = filmOverGround([0.6, 0.6], [0, 1e3], 0.012);
    expect(bare).toBeCloseTo(0.6, 12);
    expect(dark).toBeCloseTo(0.012 * 0.6, 12);
  });
  it('multiplies: two coats pass the square of what one coat passes', () => {
    const [one, two] = filmOverGround([1, 1], [0.7, 1.4]);
    expect(two).toBeCloseTo(one * one, 12);
  });
  it('seen through a clear is never darker than the surface itself', () => {
    expect(surfaceReflectance(filmOverGround([0.6], [50]), CLEAR_SURFACE)[0]).toBeGreaterThanOrEqual(
      CLEAR_SURFACE.f,
    );
  });
});
