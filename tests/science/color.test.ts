import { differenceCiede2000, modeLab65, useMode } from 'culori/fn';
import { describe, expect, it } from 'vitest';
import { ciede2000 } from '../../src/core/color/ciede2000.ts';
import {
  chromaticityOfPower,
  daylightChromaticity,
  daylightPower,
  deltaE2000,
  type Lab,
  labFromReflectance,
  labFromXyz,
  lchDifference,
  lightColour,
  mcCamyCct,
  planckPower,
  viewing,
  xyzFromLab,
} from '../../src/core/color/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { CIEDE2000_PAIRS } from './ciede2000-pairs.ts';

useMode(modeLab65);

describe('CIEDE2000', () => {
  const terms = new Float64Array(3);

  it.each(CIEDE2000_PAIRS.map((row, i) => [i + 1, row] as const))(
    'gives the published difference of pair %i (Sharma, Wu and Dalal 2005, table 1)',
    (_, [L1, a1, b1, L2, a2, b2, published]) => {
      expect(Math.abs(deltaE2000([L1, a1, b1], [L2, a2, b2]) - published)).toBeLessThan(6e-5);
      expect(Math.abs(deltaE2000([L2, a2, b2], [L1, a1, b1]) - published)).toBeLessThan(6e-5);
      expect(Math.abs(ciede2000(L1, a1, b1, L2, a2, b2, terms) - published)).toBeLessThan(6e-5);
    },
  );

  it('agrees with culori, a general-purpose colour library, all over the colour space', () => {
    const reference = differenceCiede2000();
    const random = seededRandom(2005);
    for (let i = 0; i < 20_000; i++) {
      const [a, b] = [0, 1].map((): Lab => {
        return [100 * random.uniform(), 60 * random.normal(), 60 * random.normal()];
      });
      const expected = reference(
        { mode: 'lab65', l: a[0], a: a[1], b: a[2] },
        { mode: 'lab65', l: b[0], a: b[1], b: b[2] },
      );
      expect(ciede2000(...a, ...b, terms)).toBeCloseTo(expected, 9);
    }
  });
});

describe('lightness, chroma and hue differences (CIE 15:2018, 8.2.1)', () => {
  it('add up, squared, to the squared ΔE*ab', () => {
    const a: Lab = [41, 38, 19];
    const b: Lab = [44, 30, 24];
    const { dL, dC, dH } = lchDifference(a, b);
    expect(dL ** 2 + dC ** 2 + dH ** 2).toBeCloseTo(3 ** 2 + 8 ** 2 + 5 ** 2, 10);
  });

  it('count a turn from red towards yellow as positive', () => {
    expect(lchDifference([50, 30, 10], [50, 30, 0]).dH).toBeGreaterThan(0);
    expect(lchDifference([50, 30, -10], [50, 30, 0]).dH).toBeLessThan(0);
  });
});

// XYZ of the perfect diffuser, Y = 100: ASTM E308-01 tables 5 and 6 as widely reprinted (from memory); made from the
// whole visible range, while ours stop at 730 nm, so a tenth is allowed.
const WHITES: readonly (readonly [name: string, X: number, Z: number])[] = [
  ['A/2', 109.85, 35.585],
  ['A/10', 111.144, 35.2],
  ['D50/2', 96.422, 82.521],
  ['D50/10', 96.72, 81.427],
  ['D55/2', 95.682, 92.149],
  ['D65/2', 95.047, 108.883],
  ['D65/10', 94.811, 107.304],
  ['D75/2', 94.972, 122.638],
  ['F2/2', 99.186, 67.393],
  ['F7/2', 95.041, 108.747],
  ['F11/2', 100.962, 64.35],
  ['F11/10', 103.863, 65.607],
];

describe('white points of the standard illuminants', () => {
  it.each(WHITES)('%s has the XYZ of the tables', (name, X, Z) => {
    const { white } = viewing(name);
    expect(white[1]).toBeCloseTo(1, 10);
    expect(Math.abs(100 * white[0] - X)).toBeLessThan(0.1);
    expect(Math.abs(100 * white[2] - Z)).toBeLessThan(0.12);
  });

  // CIE 15:2018, tables of chromaticity coordinates, 2° observer (from memory)
  it.each([
    ['A', 0.44758, 0.40745],
    ['D50', 0.34567, 0.35851],
    ['D65', 0.31272, 0.32903],
    ['F11', 0.3805, 0.3769],
  ])('%s has the chromaticity of CIE 15', (name, x, y) => {
    const [X, Y, Z] = viewing(`${name}/2`).white;
    expect(Math.abs(X / (X + Y + Z) - x)).toBeLessThan(3e-4);
    expect(Math.abs(Y / (X + Y + Z) - y)).toBeLessThan(3e-4);
  });

  it('a name that no table knows is refused', () => {
    expect(() => viewing('D50/3')).toThrow(RangeError);
    expect(() => viewing('Q/2')).toThrow(RangeError);
  });
});

describe('CIELAB (CIE 15:2018, 8.2.1)', () => {
  const white = viewing('D50/2').white;

  it('gives the perfect diffuser L* = 100 and nothing else', () => {
    const [L, a, b] = labFromReflectance(new Float64Array(36).fill(1), viewing('D50/2'));
    expect(L).toBeCloseTo(100, 9);
    expect(a).toBeCloseTo(0, 9);
    expect(b).toBeCloseTo(0, 9);
  });

  it('gives an 18.4187 % grey L* = 50', () => {
    const [L] = labFromXyz([0.184187 * white[0], 0.184187, 0.184187 * white[2]], white);
    expect(L).toBeCloseTo(50, 3);
  });

  it('is linear below Y = (6/29)³, with slope 903.3 = (29/3)³', () => {
    const [L] = labFromXyz([0.004 * white[0], 0.004, 0.004 * white[2]], white);
    expect(L).toBeCloseTo(0.004 * (29 / 3) ** 3, 9);
  });

  it('comes back from XYZ unchanged, dark and saturated colours too', () => {
    for (const lab of [
      [0.5, 0.2, -0.3],
      [7, 20, -30],
      [52, -70, 60],
      [96, -3, 2],
    ] as Lab[])
      labFromXyz(xyzFromLab(lab, white), white).forEach((v, i) => {
        expect(v).toBeCloseTo(lab[i], 9);
      });
  });
});

describe('colour temperature', () => {
  // McCamy, Color Res. Appl. 17, 1992, evaluated at D65's and A's published chromaticities
  it.each([
    [0.3127, 0.329, 6505.08],
    [0.44757, 0.40745, 2857.29],
  ])('McCamy’s cubic at (%d, %d) gives %d K', (x, y, cct) => {
    expect(mcCamyCct({ x, y })).toBeCloseTo(cct, 1);
  });

  // CIE 15:2018, 4.1.2
  it.each([
    [4000, 0.382344, 0.383766],
    [7000, 0.305357, 0.321646],
  ])('CIE daylight of %d K lies at (%d, %d)', (cct, x, y) => {
    const c = daylightChromaticity(cct);
    expect(c.x).toBeCloseTo(x, 6);
    expect(c.y).toBeCloseTo(y, 6);
  });

  it('CIE daylight exists from 4000 to 25000 K only', () => {
    expect(() => daylightChromaticity(3900)).toThrow(RangeError);
    expect(() => daylightChromaticity(Number.NaN)).toThrow(RangeError);
  });

  it('a spectrum built from the daylight basis has the chromaticity it was built for', () => {
    for (const cct of [4500, 5500, 6504, 9000]) {
      const made = chromaticityOfPower(daylightPower(cct));
      const meant = daylightChromaticity(cct);
      expect(Math.abs(made.x - meant.x)).toBeLessThan(4e-4);
      expect(Math.abs(made.y - meant.y)).toBeLessThan(4e-4);
    }
  });

  it('a Planckian radiator is told its own temperature, and no distance from the locus', () => {
    for (const cct of [1800, 2856, 4100, 6500, 12_000]) {
      const told = lightColour(chromaticityOfPower(planckPower(cct)));
      expect(Math.abs(told.cct_k - cct) / cct).toBeLessThan(2e-4);
      expect(Math.abs(told.duv)).toBeLessThan(1e-5);
    }
  });

  it('D65 is 6504 K and .0032 above the locus (CIE 15:2018; Ohno, LEUKOS 10, 2014; from memory)', () => {
    const { cct_k, duv } = lightColour({ x: 0.31272, y: 0.32903 });
    expect(Math.abs(cct_k - 6504)).toBeLessThan(15);
    expect(Math.abs(duv - 0.0032)).toBeLessThan(2e-4);
  });
});
