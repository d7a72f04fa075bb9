/** Which kinds of pixels a photo may hold, and its readings under each. */
import { determinant3, type Mat3, multiply3, type Vec3 } from '../math/linear.ts';
import type { ColourProfile, Reading } from '../photo/types.ts';
import type { PixelModel } from './fit-model.ts';
import { encodeSrgb, srgbSlope } from './response.ts';

/** What the correction needs to know of a file. */
export interface PixelSource {
  readonly bits: 8 | 16;
  readonly profile: Pick<ColourProfile, 'isLinear' | 'source' | 'toLinearSrgb'>;
}

/** A model of the pixels with the way its linear values come from a reading. */
export interface PixelCandidate {
  readonly model: PixelModel;
  readonly linearOf: (r: Reading) => Vec3;
  readonly noiseOf: (r: Reading) => Vec3;
  /** ln of how much `linearOf` stretches what was read: 0 where it takes it as it is. */
  readonly logStretch: (r: Reading) => number;
}

const IDENTITY: Mat3 = [1, 0, 0, 0, 1, 0, 0, 0, 1];

function isIdentity(m: Mat3): boolean {
  return m.every((v, i) => Math.abs(v - IDENTITY[i]) < 1e-3);
}

/**
 * The candidates for a file, the likeliest first; the evidence of the fit chooses. Camera files carry a response;
 * in a wide-gamut file it may act on the file's own primaries or have acted on sRGB. Linear files come raw or
 * through a matrix. 16-bit files without a profile may be linear, whatever the default says.
 */
export function pixelCandidates({ bits, profile }: PixelSource): PixelCandidate[] {
  const own = {
    linearOf: (r: Reading) => r.linear,
    noiseOf: (r: Reading) => r.noise,
    logStretch: () => 0,
  };
  if (profile.isLinear) {
    const raw = { ...own, model: { sensitivity: 'raw', hasCurve: false, toLinearSrgb: IDENTITY } as const };
    const matrixed = {
      ...own,
      model: { sensitivity: 'rendered', hasCurve: false, toLinearSrgb: profile.toLinearSrgb } as const,
    };
    return [raw, matrixed];
  }
  const rendered = {
    ...own,
    model: { sensitivity: 'rendered', hasCurve: true, toLinearSrgb: profile.toLinearSrgb } as const,
  };
  const candidates: PixelCandidate[] = [rendered];
  if (!isIdentity(profile.toLinearSrgb))
    candidates.push({
      model: { sensitivity: 'rendered', hasCurve: true, toLinearSrgb: IDENTITY },
      linearOf: (r) =>
        multiply3(profile.toLinearSrgb, r.linear).map((v) => Math.max(0, v)) as unknown as Vec3,
      noiseOf: (r) => r.noise,
      logStretch: () => Math.log(Math.abs(determinant3(profile.toLinearSrgb))),
    });
  if (bits === 16 && profile.source === 'assumed') {
    const linearOf = (r: Reading): Vec3 => r.linear.map(encodeSrgb) as unknown as Vec3;
    const noiseOf = (r: Reading): Vec3 =>
      r.noise.map((n, c) => {
        const l = r.linear[c];
        return encodeSrgb(l + n) - encodeSrgb(l);
      }) as unknown as Vec3;
    const logStretch = (r: Reading): number =>
      r.linear.reduce((sum, l) => sum + Math.log(Math.min(12.92, 1 / (l * srgbSlope(l)))), 0);
    const encoded = { linearOf, noiseOf, logStretch, hasCurve: false };
    candidates.push(
      { ...encoded, model: { sensitivity: 'raw', hasCurve: false, toLinearSrgb: IDENTITY } },
      { ...encoded, model: { sensitivity: 'rendered', hasCurve: false, toLinearSrgb: IDENTITY } },
    );
  }
  return candidates;
}
