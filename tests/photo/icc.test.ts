import { describe, expect, it } from 'vitest';
import type { Mat3 } from '../../src/core/math/linear.ts';
import { multiply3 } from '../../src/core/math/linear.ts';
import { profileFromIcc, srgbProfile } from '../../src/core/photo/index.ts';
import { pcsFromPrimaries, SRGB_PRIMARIES } from '../../src/core/photo/primaries.ts';
import { type CurveTag, matrixProfile } from './icc-bytes.ts';

// Primaries: sRGB, IEC 61966-2-1; Display P3, SMPTE EG 432-1 with D65; Adobe RGB (1998) colour image encoding, 4.3.1.
const P3 = { red: [0.68, 0.32], green: [0.265, 0.69], blue: [0.15, 0.06], white: [0.3127, 0.329] } as const;
const ADOBE = { red: [0.64, 0.33], green: [0.21, 0.71], blue: [0.15, 0.06], white: [0.3127, 0.329] } as const;
/** sRGB's curve as ICC parameters g a b c d (IEC 61966-2-1). */
const SRGB_PARA: CurveTag = {
  kind: 'para',
  type: 3,
  parameters: [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045],
};
const LINEAR: CurveTag = { kind: 'curv', values: [] };
/** 2.19921875, the gamma of Adobe RGB (1998), as u8Fixed8. */
const GAMMA_ADOBE: CurveTag = { kind: 'curv', values: [0x0233] };

function expectClose(actual: ArrayLike<number>, expected: ArrayLike<number>, within: number): void {
  expect(actual.length).toBe(expected.length);
  for (let i = 0; i < expected.length; i++)
    expect(Math.abs(actual[i] - expected[i])).toBeLessThanOrEqual(within);
}

describe('the primaries of published RGB spaces', () => {
  it('give the D50 colorants that the sRGB profile of the ICC carries (sRGB_v4/v2 profile: rXYZ, gXYZ, bXYZ)', () => {
    // from memory, as in every sRGB profile: .43607 .22249 .01392 · .38515 .71687 .09708 · .14307 .06061 .71410
    const published = [0.43607, 0.38515, 0.14307, 0.22249, 0.71687, 0.06061, 0.01392, 0.09708, 0.7141];
    expectClose(pcsFromPrimaries(SRGB_PRIMARIES), published, 2e-4);
  });

  it('give the D50 colorants of Adobe RGB (1998), annex B', () => {
    const published = [0.60974, 0.20528, 0.14919, 0.31111, 0.62567, 0.06322, 0.01947, 0.06087, 0.74457];
    expectClose(pcsFromPrimaries(ADOBE), published, 2e-4);
  });

  it('take Display P3 red, green and blue to the known places in linear sRGB', () => {
    // CSS Color 4, sample code: linear P3 to XYZ to linear sRGB
    const published = [1.2249, -0.2249, 0, -0.0421, 1.0421, 0, -0.0196, -0.0786, 1.0983];
    const { profile } = profileFromIcc(matrixProfile('Display P3', pcsFromPrimaries(P3), SRGB_PARA), 8);
    expect(profile.name).toBe('Display P3');
    expect(profile.source).toBe('embedded');
    expectClose(profile.toLinearSrgb, published, 3e-4);
  });

  it('take Adobe RGB (1998) green far outside sRGB', () => {
    const { profile } = profileFromIcc(matrixProfile('Adobe-like', pcsFromPrimaries(ADOBE), GAMMA_ADOBE), 8);
    // linear sRGB from linear Adobe RGB, both D65: 1.3984 −.3984 0 · 0 1 0 · 0 −.0429 1.0429 (same red and blue x, y)
    expectClose(profile.toLinearSrgb, [1.3984, -0.3984, 0, 0, 1, 0, 0, -0.0429, 1.0429], 3e-4);
  });

  it('keep white white', () => {
    for (const primaries of [SRGB_PRIMARIES, P3, ADOBE]) {
      const { profile } = profileFromIcc(matrixProfile('any', pcsFromPrimaries(primaries), LINEAR), 8);
      expectClose(multiply3(profile.toLinearSrgb, [1, 1, 1]), [1, 1, 1], 1e-12);
    }
  });
});

describe('transfer curves', () => {
  const colorants = pcsFromPrimaries(SRGB_PRIMARIES);
  const decodeOf = (curve: CurveTag, bits: 8 | 16 = 8) => {
    const { profile, warnings } = profileFromIcc(matrixProfile('any', colorants, curve), bits);
    expect(warnings).toEqual([]);
    return profile;
  };

  it('of sRGB give linear .2140 at encoded one half (IEC 61966-2-1)', () => {
    const { decode } = srgbProfile(16);
    expect(decode[0][0]).toBe(0);
    expect(decode[0][32768]).toBeCloseTo(0.21404, 4);
    expect(decode[0][Math.round(0.04045 * 65535)]).toBeCloseTo(0.04045 / 12.92, 6);
    expect(decode[0][65535]).toBe(1);
  });

  it('written as parameters equal the standard curve at every 8-bit value', () => {
    expectClose(decodeOf(SRGB_PARA).decode[1], srgbProfile(8).decode[1], 2e-5);
  });

  it('written as a sampled table equal the standard curve at every 8-bit value', () => {
    const sampled = Array.from({ length: 1024 }, (_, i) => {
      const v = i / 1023;
      return Math.round(65535 * (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
    });
    expectClose(decodeOf({ kind: 'curv', values: sampled }).decode[2], srgbProfile(8).decode[2], 2e-5);
  });

  it('of Adobe RGB (1998) are a power of 2.19921875', () => {
    const { decode } = decodeOf(GAMMA_ADOBE, 16);
    expect(decode[0][32768]).toBeCloseTo((32768 / 65535) ** 2.19921875, 5);
  });

  it('of the five parametric types follow ICC.1:2022, table 68', () => {
    const at = 204 / 255;
    const value = (type: number, parameters: number[]) =>
      decodeOf({ kind: 'para', type, parameters }).decode[0][204];
    expect(value(0, [2.2])).toBeCloseTo(at ** 2.2, 4);
    expect(value(1, [2.2, 0.9, 0.1])).toBeCloseTo((0.9 * at + 0.1) ** 2.2, 4);
    expect(value(2, [2.2, 0.9, 0.05, 0.02])).toBeCloseTo((0.9 * at + 0.05) ** 2.2 + 0.02, 4);
    expect(value(3, [2.4, 0.9479, 0.0521, 0.0774, 0.9])).toBeCloseTo(0.0774 * at, 4);
    expect(value(4, [2.2, 0.9, 0.05, 0.1, 0.2, 0.03, 0.01])).toBeCloseTo((0.9 * at + 0.05) ** 2.2 + 0.03, 4);
  });

  it('of gamma 1 mark the photo as linear, others not', () => {
    expect(decodeOf(LINEAR, 16).isLinear).toBe(true);
    expect(decodeOf({ kind: 'para', type: 0, parameters: [1] }).isLinear).toBe(true);
    expect(decodeOf({ kind: 'curv', values: [0, 65535] }, 16).isLinear).toBe(true);
    expect(decodeOf(SRGB_PARA).isLinear).toBe(false);
    expect(decodeOf({ kind: 'curv', values: [0x0110] }).isLinear).toBe(false);
  });
});

describe('a profile that cannot be used', () => {
  const good = matrixProfile('any', pcsFromPrimaries(SRGB_PRIMARIES), LINEAR);
  const refused = (bytes: Uint8Array): string => {
    const { profile, warnings } = profileFromIcc(bytes, 8);
    expect(profile.name).toBe('sRGB');
    expect(profile.source).toBe('assumed');
    expect(profile.decode[0]).toEqual(srgbProfile(8).decode[0]);
    expect(warnings.map((w) => w.code)).toEqual(['profile-unusable']);
    return warnings[0].message;
  };

  it('is read as sRGB, with a warning that says why', () => {
    expect(refused(good.subarray(0, 100))).toMatch(/broken/);
    expect(refused(new Uint8Array(0))).toMatch(/broken/);
    expect(refused(matrixProfile('c', pcsFromPrimaries(P3), LINEAR, { space: 'CMYK' }))).toMatch(/CMYK/);
    expect(refused(matrixProfile('g', pcsFromPrimaries(P3), LINEAR, { space: 'GRAY' }))).toMatch(/grey/);
    expect(refused(matrixProfile('l', pcsFromPrimaries(P3), LINEAR, { pcs: 'Lab' }))).toMatch(/table-based/);
    const flat: Mat3 = [0.4, 0.4, 0.2, 0.4, 0.4, 0.2, 0.3, 0.3, 0.2];
    expect(refused(matrixProfile('flat', flat, LINEAR))).toMatch(/span no colour space/);
    expect(
      refused(matrixProfile('falls', pcsFromPrimaries(P3), { kind: 'curv', values: [65535, 0] })),
    ).toMatch(/falls/);
  });

  it('cut at any byte, or with any byte changed, never throws', () => {
    for (let end = 0; end < good.length; end += 3) profileFromIcc(good.subarray(0, end), 8);
    for (let at = 0; at < good.length; at++) {
      const changed = good.slice();
      changed[at] ^= 0xff;
      const { profile } = profileFromIcc(changed, 8);
      expect(profile.toLinearSrgb.every(Number.isFinite)).toBe(true);
    }
  });
});
