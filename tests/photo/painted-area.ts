import type { Vec3 } from '../../src/core/math/linear.ts';
import { type Random, seededRandom } from '../../src/core/math/random.ts';
import type { ColourProfile, QuadPx, Raster } from '../../src/core/photo/types.ts';

/** Small photos painted straight from a function of place, for tests of reading. */

const toLinear = (v: number): number => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
export const toEncoded = (l: number): number => (l <= 0.0031308 ? 12.92 * l : 1.055 * l ** (1 / 2.4) - 0.055);

/** sRGB by its formula (IEC 61966-2-1), or values proportional to light. */
export function testProfile(bits: 8 | 16, isLinear = false): ColourProfile {
  const length = bits === 8 ? 256 : 65536;
  const curve = Float32Array.from({ length }, (_, i) => {
    const v = i / (length - 1);
    return isLinear ? v : toLinear(v);
  });
  return {
    name: isLinear ? 'linear' : 'sRGB',
    source: 'assumed',
    isLinear,
    decode: [curve, curve, curve],
    toLinearSrgb: [1, 0, 0, 0, 1, 0, 0, 0, 1],
  };
}

export interface Painting {
  readonly width_px: number;
  readonly height_px: number;
  readonly bits?: 8 | 16;
  readonly isLinear?: boolean;
  readonly seed?: number;
  /** Linear light at a pixel's centre, before noise. */
  readonly light: (x: number, y: number, random: Random) => Vec3;
  /** Relative noise of a pixel. Default 2 %. */
  readonly noise?: number;
  /** Added noise of a pixel, linear. Default .0005. */
  readonly floor?: number;
  /** Side of the square blocks that share half of their noise, px. Default none. */
  readonly sharedBlock_px?: number;
}

export function paint(p: Painting): Raster {
  const { width_px, height_px, bits = 8, isLinear = false, noise = 0.02, floor = 0.0005 } = p;
  const random = seededRandom(p.seed ?? 1);
  const top = bits === 8 ? 255 : 65535;
  const data =
    bits === 8 ? new Uint8Array(3 * width_px * height_px) : new Uint16Array(3 * width_px * height_px);
  const block = p.sharedBlock_px ?? 0;
  const columns = block > 0 ? Math.ceil(width_px / block) : 0;
  const shared =
    block > 0
      ? Float64Array.from({ length: 3 * columns * Math.ceil(height_px / block) }, () => random.normal())
      : new Float64Array(0);
  for (let y = 0; y < height_px; y++)
    for (let x = 0; x < width_px; x++) {
      const light = p.light(x + 0.5, y + 0.5, random);
      for (let c = 0; c < 3; c++) {
        const own = random.normal();
        const deviate =
          block > 0
            ? Math.SQRT1_2 * (own + shared[3 * (Math.floor(y / block) * columns + Math.floor(x / block)) + c])
            : own;
        const value = light[c] + Math.hypot(noise * light[c], floor) * deviate;
        const bounded = Math.max(0, Math.min(1, value));
        data[3 * (y * width_px + x) + c] = Math.round(top * (isLinear ? bounded : toEncoded(bounded)));
      }
    }
  return { width_px, height_px, bits, data, profile: testProfile(bits, isLinear) };
}

export function rectangle(x: number, y: number, width: number, height: number): QuadPx {
  return [
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ];
}
