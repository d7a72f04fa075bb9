import { compose3, invert3, type Mat3, multiply3, type Vec3 } from '../math/linear.ts';

/** D50 of the ICC profile connection space (ICC.1:2022, 7.2.16). */
export const PCS_WHITE: Vec3 = [0.9642, 1, 0.8249];

/** The Bradford cone responses (ICC.1:2022, annex E). */
const BRADFORD: Mat3 = [0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296];

/** CIE 1931 x, y of the three primaries and the white of an RGB space. */
export interface RgbPrimaries {
  readonly red: readonly [number, number];
  readonly green: readonly [number, number];
  readonly blue: readonly [number, number];
  readonly white: readonly [number, number];
}

/** sRGB (IEC 61966-2-1; primaries of ITU-R BT.709, white D65). */
export const SRGB_PRIMARIES: RgbPrimaries = {
  red: [0.64, 0.33],
  green: [0.3, 0.6],
  blue: [0.15, 0.06],
  white: [0.3127, 0.329],
};

/** Display P3: SMPTE EG 432-1 primaries, white D65. */
export const DISPLAY_P3_PRIMARIES: RgbPrimaries = {
  red: [0.68, 0.32],
  green: [0.265, 0.69],
  blue: [0.15, 0.06],
  white: [0.3127, 0.329],
};

/** Adobe RGB (1998) colour image encoding, 4.3.1. */
export const ADOBE_RGB_PRIMARIES: RgbPrimaries = {
  red: [0.64, 0.33],
  green: [0.21, 0.71],
  blue: [0.15, 0.06],
  white: [0.3127, 0.329],
};

function xyzOf([x, y]: readonly [number, number]): Vec3 {
  return [x / y, 1, (1 - x - y) / y];
}

function columns(a: Vec3, b: Vec3, c: Vec3): Mat3 {
  return [a[0], b[0], c[0], a[1], b[1], c[1], a[2], b[2], c[2]];
}

function diagonal(v: Vec3): Mat3 {
  return [v[0], 0, 0, 0, v[1], 0, 0, 0, v[2]];
}

/** The matrix that takes XYZ seen under one white to XYZ under another, by the linear Bradford transform. */
export function bradford(from: Vec3, to: Vec3): Mat3 {
  const seen = multiply3(BRADFORD, from);
  const wanted = multiply3(BRADFORD, to);
  const scale: Vec3 = [wanted[0] / seen[0], wanted[1] / seen[1], wanted[2] / seen[2]];
  return compose3(invert3(BRADFORD), compose3(diagonal(scale), BRADFORD));
}

/** Linear RGB to XYZ of the profile connection space (D50), white at Y = 1. */
export function pcsFromPrimaries(primaries: RgbPrimaries): Mat3 {
  const white = xyzOf(primaries.white);
  const unit = columns(xyzOf(primaries.red), xyzOf(primaries.green), xyzOf(primaries.blue));
  const amounts = multiply3(invert3(unit), white);
  return compose3(bradford(white, PCS_WHITE), compose3(unit, diagonal(amounts)));
}

const SRGB_FROM_PCS = invert3(pcsFromPrimaries(SRGB_PRIMARIES));

/**
 * Linear RGB of a profile to linear sRGB, from the profile's colorants (columns: XYZ under D50). White is kept
 * exactly: the rounding of the profile's numbers is taken out row by row. Throws RangeError when the colorants
 * span no sensible space.
 */
export function linearSrgbFromColorants(colorants: Mat3): Mat3 {
  const m = compose3(SRGB_FROM_PCS, colorants);
  const det =
    m[0] * (m[4] * m[8] - m[5] * m[7]) -
    m[1] * (m[3] * m[8] - m[5] * m[6]) +
    m[2] * (m[3] * m[7] - m[4] * m[6]);
  if (!(det > 0.01 && det < 100)) throw new RangeError('the primaries span no colour space');
  const rows = [0, 3, 6].map((r) => {
    const sum = m[r] + m[r + 1] + m[r + 2];
    if (!(sum > 0.5 && sum < 1.5)) throw new RangeError('the primaries do not add up to white');
    return [m[r] / sum, m[r + 1] / sum, m[r + 2] / sum];
  });
  return rows.flat() as unknown as Mat3;
}
