import type { Vec3 } from '../math/linear.ts';
import type { Viewing } from './white.ts';

/** CIELAB coordinates: L* 0–100, a*, b*. */
export type Lab = Vec3;
/** Tristimulus values, Y = 1 for the perfect diffuser. */
export type Xyz = Vec3;

const DELTA = 6 / 29;

function compress(t: number): number {
  return t > DELTA ** 3 ? Math.cbrt(t) : t / (3 * DELTA * DELTA) + 4 / 29;
}

function expand(f: number): number {
  return f > DELTA ? f ** 3 : 3 * DELTA * DELTA * (f - 4 / 29);
}

/** CIELAB of XYZ relative to a white (CIE 15:2018, 8.2.1). */
export function labFromXyz(xyz: Xyz, white: Xyz): Lab {
  const fx = compress(xyz[0] / white[0]);
  const fy = compress(xyz[1] / white[1]);
  const fz = compress(xyz[2] / white[2]);
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

/** XYZ of CIELAB relative to a white (CIE 15:2018, 8.2.1, inverted). */
export function xyzFromLab(lab: Lab, white: Xyz): Xyz {
  const fy = (lab[0] + 16) / 116;
  return [white[0] * expand(fy + lab[1] / 500), white[1] * expand(fy), white[2] * expand(fy - lab[2] / 200)];
}

/** XYZ of a reflectance on the core's grid under an illuminant and observer. */
export function xyzFromReflectance(reflectance: ArrayLike<number>, under: Viewing): Xyz {
  const [wx, wy, wz] = under.weights;
  let x = 0;
  let y = 0;
  let z = 0;
  for (let i = 0; i < wx.length; i++) {
    x += wx[i] * reflectance[i];
    y += wy[i] * reflectance[i];
    z += wz[i] * reflectance[i];
  }
  return [x, y, z];
}

/** CIELAB of a reflectance on the core's grid. */
export function labFromReflectance(reflectance: ArrayLike<number>, under: Viewing): Lab {
  return labFromXyz(xyzFromReflectance(reflectance, under), under.white);
}
