import { describe, expect, test } from 'vitest';
import {
  cctDuv,
  chromaticity,
  daylight,
  daylightXy,
  labD50,
  spectrumOf,
  TABLE_LIGHTS,
} from '../../samples/scene/spectral.ts';

describe('the scenes’ colour arithmetic against published figures', () => {
  test.each([
    // CIE 15:2018, table 3: chromaticities of standard illuminants, 2° observer
    ['A', 0.44758, 0.40745],
    ['D50', 0.34567, 0.35851],
    ['D55', 0.33243, 0.34744],
    ['D65', 0.31272, 0.32903],
    ['D75', 0.29903, 0.31488],
    // CIE 15:2018, tables of fluorescent and LED illuminants
    ['F2', 0.3721, 0.3751],
    ['F7', 0.3129, 0.3292],
    ['F11', 0.3805, 0.3769],
    ['LED-B3', 0.3756, 0.3723],
  ] as const)('illuminant %s lies at x %f, y %f', (name, x, y) => {
    const [ownX, ownY] = chromaticity(TABLE_LIGHTS[name]);
    // the tables are summed over 380–730 nm in 5 nm steps
    expect(Math.abs(ownX - x)).toBeLessThan(0.0006);
    expect(Math.abs(ownY - y)).toBeLessThan(0.0006);
  });

  test.each([
    // CIE 15:2018, equations 4.7 and 4.9
    [4000, 0.382344, 0.383766],
    [7000, 0.305357, 0.321646],
  ])('daylight of %d K lies at x %f, y %f', (cct, x, y) => {
    const [locusX, locusY] = daylightXy(cct);
    expect(locusX).toBeCloseTo(x, 6);
    expect(locusY).toBeCloseTo(y, 6);
    const [ownX, ownY] = chromaticity(daylight(cct));
    expect(Math.abs(ownX - x)).toBeLessThan(0.0005);
    expect(Math.abs(ownY - y)).toBeLessThan(0.0005);
  });

  test('correlated colour temperature: A is 2856 K on the locus, D65 6504 K and .0032 above it (CIE 15:2018)', () => {
    const a = cctDuv(TABLE_LIGHTS.A);
    expect(Math.abs(a.cct_k - 2856)).toBeLessThan(4);
    expect(Math.abs(a.duv)).toBeLessThan(0.0003);
    const d65 = cctDuv(TABLE_LIGHTS.D65);
    expect(Math.abs(d65.cct_k - 6504)).toBeLessThan(12);
    expect(Math.abs(d65.duv - 0.0032)).toBeLessThan(0.0003);
  });

  test('a perfect diffuser is L* 100 and an 18.42 % grey L* 50, both without colour (CIE 15:2018, 8.2.1)', () => {
    const white = labD50(spectrumOf(() => 1));
    const grey = labD50(spectrumOf(() => 0.184187));
    expect(white[0]).toBeCloseTo(100, 6);
    expect(grey[0]).toBeCloseTo(50, 3);
    for (const v of [white[1], white[2], grey[1], grey[2]]) expect(Math.abs(v)).toBeLessThan(1e-9);
  });
});
