import { describe, expect, it } from 'vitest';
import type { Vec3 } from '../../src/core/math/linear.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { sampleQuad, sampleQuadInCells } from '../../src/core/photo/sample.ts';
import type { Reading } from '../../src/core/photo/types.ts';
import { type Painting, paint, rectangle } from './painted-area.ts';

const GARNET: Vec3 = [0.21, 0.018, 0.022];
const SILVER: Vec3 = [0.42, 0.43, 0.44];
const SIZE = { width_px: 240, height_px: 200 };
const WHOLE = rectangle(0, 0, 240, 200);

function read(painting: Omit<Painting, 'width_px' | 'height_px'>, margin = 0.12): Reading {
  return sampleQuad(paint({ ...SIZE, ...painting }), WHOLE, { margin });
}

function relativeErrors(reading: Reading, truth: Vec3): number[] {
  return reading.linear.map((value, c) => Math.abs(value / truth[c] - 1));
}

/** Root-mean-square relative error over repeats with other noise, the three channels together. */
function rmsError(
  painting: (seed: number) => Omit<Painting, 'width_px' | 'height_px'>,
  truth: (reading: Reading) => Vec3,
  repeats = 12,
): number {
  let sum = 0;
  for (let seed = 1; seed <= repeats; seed++) {
    const reading = read({ seed, ...painting(seed) });
    for (const e of relativeErrors(reading, truth(reading))) sum += e * e;
  }
  return Math.sqrt(sum / (3 * repeats));
}

describe('the colour of an even area', () => {
  it.each([
    ['8 bit sRGB', { bits: 8 as const }],
    ['16 bit sRGB', { bits: 16 as const }],
    ['16 bit proportional to light', { bits: 16 as const, isLinear: true }],
  ])('is the mean of its light: %s', (_, kind) => {
    for (const colour of [GARNET, SILVER]) {
      const reading = read({ ...kind, light: () => colour });
      reading.linear.forEach((value, c) => {
        expect(Math.abs(value - colour[c])).toBeLessThan(4 * reading.noise[c] + 1e-6);
      });
      expect(reading.glareFraction + reading.dustFraction).toBeLessThan(0.002);
      expect(Math.abs(reading.centre_px[0] - 120)).toBeLessThan(1);
      expect(Math.abs(reading.centre_px[1] - 100)).toBeLessThan(1);
    }
  });

  it('averages light, not encoded values: a fine checker of .1 and .5 reads .3', () => {
    const reading = read({
      noise: 0,
      floor: 0,
      light: (x, y) => ((Math.floor(x) + Math.floor(y)) % 2 ? [0.1, 0.1, 0.1] : [0.5, 0.5, 0.5]),
    });
    for (const value of reading.linear) expect(Math.abs(value - 0.3)).toBeLessThan(0.012);
  });

  it('visits no more pixels than asked for, evenly, and still finds the mean and the middle', () => {
    const raster = paint({ ...SIZE, light: (x) => [0.2 + 0.0005 * x, 0.2, 0.2] });
    const few = sampleQuad(raster, WHOLE, { margin: 0, maxPixels: 1000 });
    expect(few.pixels).toBeLessThanOrEqual(1100);
    expect(few.pixels).toBeGreaterThan(500);
    expect(few.linear[0]).toBeCloseTo(0.26, 2);
    expect(Math.abs(few.centre_px[0] - 120)).toBeLessThan(2);
  });

  it('reads the middle of a panel seen at a slant, not its surroundings', () => {
    const slanted = [
      [60, 40],
      [200, 20],
      [220, 180],
      [40, 150],
    ] as const;
    const inside = (x: number, y: number): boolean =>
      slanted.every(([x0, y0], i) => {
        const [x1, y1] = slanted[(i + 1) % 4];
        return (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) >= 0;
      });
    const raster = paint({ ...SIZE, light: (x, y) => (inside(x, y) ? GARNET : [0.8, 0.8, 0.8]) });
    const reading = sampleQuad(raster, slanted, { margin: 0.05 });
    expect(Math.max(...relativeErrors(reading, GARNET))).toBeLessThan(0.01);
    expect(reading.glareFraction).toBe(0);
  });
});

describe('an area of a few pixels', () => {
  it('is read as its outline lies, to a fiftieth of a pixel: no row counts more or less for a tenth of one', () => {
    const light = (x: number): Vec3 => [0.2 + 0.004 * x, 0.2, 0.3];
    const raster = paint({
      width_px: 30,
      height_px: 30,
      bits: 16,
      isLinear: true,
      noise: 0,
      floor: 0,
      light: (x) => light(x),
    });
    for (let left = 8; left < 9; left += 0.07) {
      const reading = sampleQuad(raster, rectangle(left, 9.4, 9.3, 9.8), { margin: 0 });
      expect(Math.abs(reading.centre_px[0] - (left + 4.65))).toBeLessThan(0.02);
      expect(Math.abs(reading.linear[0] - light(left + 4.65)[0])).toBeLessThan(0.00015);
      expect(Math.abs(reading.pixels - 9.3 * 9.8)).toBeLessThan(1);
    }
  });
});

describe('any quadrilateral, in the photo, across its edge or beyond', () => {
  it('gives finite numbers, whatever its shape and size', () => {
    const rasters = [
      paint({ width_px: 300, height_px: 200, light: () => GARNET }),
      paint({ width_px: 90, height_px: 400, bits: 16, light: () => SILVER }),
      paint({ width_px: 3, height_px: 2, light: () => SILVER }),
    ];
    const random = seededRandom(3);
    let read = 0;
    for (let i = 0; i < 900; i++) {
      const side = 10 ** (3.5 * random.uniform() - 0.5);
      const [x, y] = [400 * random.uniform() - 50, 500 * random.uniform() - 50];
      const corner = (u: number, v: number): [number, number] => [
        x + side * (u + 0.5 * (random.uniform() - 0.5)),
        y + side * (v + 0.5 * (random.uniform() - 0.5)),
      ];
      const quad = [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)] as const;
      const { reading, cells } = sampleQuadInCells(rasters[i % 3], quad, {
        margin: 0.4 * random.uniform(),
        maxPixels: 1 + Math.floor(8000 * random.uniform()),
      });
      for (const { linear, noise, pixels } of [reading, ...cells]) {
        expect([...linear, ...noise, pixels].every(Number.isFinite)).toBe(true);
        read += pixels;
      }
    }
    expect(read).toBeGreaterThan(10_000);
  });
});

describe('light that falls off across an area', () => {
  it.each([0.05, 0.2, 0.5])('costs no pixel when it falls by %f from side to side', (fall) => {
    const light = (x: number, y: number): Vec3 => {
      const level = 1 - (fall * (x + 0.5 * y)) / 340;
      return [SILVER[0] * level, SILVER[1] * level, SILVER[2] * level];
    };
    const reading = read({ light });
    expect(reading.glareFraction + reading.dustFraction).toBeLessThan(0.005);
    const there = light(...reading.centre_px);
    expect(Math.max(...relativeErrors(reading, there))).toBeLessThan(fall < 0.3 ? 0.004 : 0.008);
  });

  it('is not taken for glare on a curved fall-off either', () => {
    const reading = read({
      light: (x, y) => {
        const level = 1 / (1 + ((x - 60) ** 2 + (y - 50) ** 2) / 400 ** 2);
        return [SILVER[0] * level, SILVER[1] * level, SILVER[2] * level];
      },
    });
    expect(reading.glareFraction + reading.dustFraction).toBeLessThan(0.02);
  });
});

describe('glare', () => {
  const inGlare = (x: number, y: number): boolean => (x - 170) ** 2 / 70 ** 2 + (y - 70) ** 2 / 40 ** 2 < 1;

  it.each([
    ['a candy panel', GARNET],
    ['a silver panel', SILVER],
  ])('over a fifth of %s moves the colour less than 1.3 × the noise-only error', (_, colour) => {
    // 2 % of pure noise over 2000 pixels is less than any photo's own floor; a twelfth of a JND is demanded of both
    const floor = 0.0015;
    const clean = rmsError(
      () => ({ light: () => colour }),
      () => colour,
    );
    const glared = rmsError(
      () => ({
        light: (x, y) => (inGlare(x, y) ? [colour[0] + 0.12, colour[1] + 0.12, colour[2] + 0.12] : colour),
      }),
      () => colour,
    );
    expect(glared).toBeLessThan(1.3 * Math.max(clean, floor));
  });

  it('of a lamp burnt to white is left out and does not count as a clipped panel', () => {
    const reading = read({ light: (x, y) => (inGlare(x, y) ? [1.2, 1.2, 1.2] : GARNET) });
    expect(reading.glareFraction).toBeGreaterThan(0.15);
    expect(reading.clippedHigh).toEqual([0, 0, 0]);
    expect(Math.max(...relativeErrors(reading, GARNET))).toBeLessThan(0.01);
  });

  it('with light falling off as well is told from the fall-off', () => {
    const light = (x: number): Vec3 => GARNET.map((v) => v * (1.2 - x / 600)) as unknown as Vec3;
    const reading = read({
      light: (x, y) => (inGlare(x, y) ? (light(x).map((v) => v + 0.1) as unknown as Vec3) : light(x)),
    });
    expect(reading.glareFraction).toBeGreaterThan(0.15);
    expect(Math.max(...relativeErrors(reading, light(reading.centre_px[0])))).toBeLessThan(0.012);
  });

  it('with a soft edge leaves less than a tenth of its error', () => {
    const soft = (x: number, y: number): number => 0.15 * Math.exp(-((x - 180) ** 2 + (y - 60) ** 2) / 900);
    const light = (x: number, y: number): Vec3 => GARNET.map((v) => v + soft(x, y)) as unknown as Vec3;
    const reading = read({ light });
    let plain = 0;
    let n = 0;
    for (let y = 24; y < 176; y++)
      for (let x = 29; x < 211; x++) {
        plain += soft(x, y);
        n++;
      }
    expect(Math.abs(reading.linear[1] - GARNET[1])).toBeLessThan((0.1 * plain) / n);
  });
});

describe('what else lies on a panel', () => {
  it('dust and threads are left out as dust', () => {
    const reading = read({
      light: (x, y) =>
        Math.abs(y - 60 - 0.3 * x) < 1.5 || (x - 90) ** 2 + (y - 130) ** 2 < 64 ? [0.02, 0.02, 0.02] : SILVER,
    });
    expect(reading.dustFraction).toBeGreaterThan(0.015);
    expect(Math.max(...relativeErrors(reading, SILVER))).toBeLessThan(0.004);
  });

  it('a sticker of another hue is left out', () => {
    const reading = read({ light: (x, y) => (x > 150 && y > 110 ? [0.35, 0.43, 0.3] : SILVER) });
    expect(reading.dustFraction).toBeGreaterThan(0.1);
    expect(Math.max(...relativeErrors(reading, SILVER))).toBeLessThan(0.004);
  });

  it('the sparkle of a metallic ground stays: it is part of its colour', () => {
    const random = seededRandom(5);
    let sum = 0;
    let n = 0;
    const reading = read({
      light: () => {
        const flake = Math.exp(0.35 * random.normal());
        sum += flake;
        n++;
        return [0.3 * flake, 0.3 * flake, 0.3 * flake];
      },
    });
    expect(reading.glareFraction + reading.dustFraction).toBeLessThan(0.01);
    expect(
      Math.max(...relativeErrors(reading, [0.3 * (sum / n), 0.3 * (sum / n), 0.3 * (sum / n)])),
    ).toBeLessThan(0.015);
  });
});

describe('clipped channels', () => {
  it('are told apart: a red clipped at the top leaves green and blue sound', () => {
    const reading = read({ light: () => [1.1, 0.3, 0.05] });
    expect(reading.clippedHigh[0]).toBeGreaterThan(0.99);
    expect(reading.clippedHigh[1]).toBe(0);
    expect(reading.linear[1]).toBeCloseTo(0.3, 3);
    expect(reading.linear[2]).toBeCloseTo(0.05, 3);
  });

  it('at the bottom are reported, and the others keep their pixels', () => {
    const reading = read({ light: () => [0.0001, 0.2, 0.3] });
    expect(reading.clippedLow[0]).toBeGreaterThan(0.5);
    expect(reading.pixels).toBeGreaterThan(1500);
    expect(reading.linear[1]).toBeCloseTo(0.2, 3);
  });

  it('are only true zeros in 16 bit values proportional to light', () => {
    const reading = read({ bits: 16, isLinear: true, floor: 0.0002, light: () => [0.002, 0.2, 0.3] });
    expect(reading.clippedLow).toEqual([0, 0, 0]);
    expect(reading.linear[0]).toBeCloseTo(0.002, 4);
  });

  it('an area outside the photo reads nothing', () => {
    const raster = paint({ ...SIZE, light: () => SILVER });
    expect(sampleQuad(raster, rectangle(300, 20, 50, 50)).pixels).toBe(0);
    expect(
      sampleQuad(raster, [
        [0, 0],
        [50, 50],
        [50, 0],
        [0, 50],
      ]).pixels,
    ).toBe(0);
  });
});

describe('the stated standard error', () => {
  it.each([
    ['independent pixels', {}],
    ['noise shared by 8 px blocks, as compression leaves it', { sharedBlock_px: 8 }],
    ['16 bit proportional to light', { bits: 16 as const, isLinear: true }],
  ])('is the scatter of repeated readings: %s', (_, kind) => {
    for (const [size, repeats] of [
      [40, 60],
      [150, 25],
    ]) {
      let squares = 0;
      let stated = 0;
      for (let seed = 1; seed <= repeats; seed++) {
        const raster = paint({ width_px: size, height_px: size, seed, light: () => SILVER, ...kind });
        const reading = sampleQuad(raster, rectangle(0, 0, size, size), { margin: 0.1 });
        for (let c = 0; c < 3; c++) {
          squares += (reading.linear[c] - SILVER[c]) ** 2;
          stated += reading.noise[c] ** 2;
        }
      }
      const ratio = Math.sqrt(stated / squares);
      expect(ratio).toBeGreaterThan(0.85);
      expect(ratio).toBeLessThan(1.6);
    }
  });

  it('holds the rounding of 8 bits when no noise dithers it', () => {
    const colour: Vec3 = [0.2137, 0.0331, 0.0774];
    const reading = read({ noise: 0, floor: 0, light: () => colour });
    reading.linear.forEach((value, c) => {
      expect(Math.abs(value - colour[c])).toBeLessThan(2 * reading.noise[c]);
      expect(reading.noise[c]).toBeLessThan(0.012 * colour[c]);
    });
  });
});
