/** Photos for the finder's tests: rendered scenes as rasters, and what can go wrong with them. */
import { type RenderOptions, randomScene, renderScene } from '../../../samples/scene/index.ts';
import { OWN_CARD, OWN_STRIPS } from '../../../src/core/card/own.ts';
import { profileFromIcc, type Raster, srgbProfile } from '../../../src/core/photo/index.ts';
import { pcsFromPrimaries, SRGB_PRIMARIES } from '../../../src/core/photo/primaries.ts';
import { matrixProfile } from '../../photo/icc-bytes.ts';

const LINEAR = profileFromIcc(
  matrixProfile('linear', pcsFromPrimaries(SRGB_PRIMARIES), { kind: 'curv', values: [] }),
  16,
).profile;
const SRGB = srgbProfile(8);

export interface Photo {
  readonly raster: Raster;
  readonly truth: ReturnType<typeof renderScene>['truth'];
}

/** A rendered bench with the project's card (and strips), as a raster, with where things truly are. */
export function photo(
  seed: number,
  options: RenderOptions,
  scene: { readonly linear?: boolean; readonly strips?: boolean } = {},
): Photo {
  const made = renderScene(
    randomScene(seed, {
      family: 'judge',
      pixels: scene.linear ? 'linear' : 'jpeg',
      card: OWN_CARD,
      cardTier: 'measured',
      panels: 3,
      ...(scene.strips ? { strips: OWN_STRIPS } : {}),
    }),
    options,
  );
  const { width_px, height_px, bits, data } = made;
  return {
    raster: { width_px, height_px, bits, data, profile: scene.linear ? LINEAR : SRGB },
    truth: made.truth,
  };
}

/** The photo with each pixel moved: `from` says which pixel of the old one comes to a place of the new one. */
export function rearranged(
  raster: Raster,
  width_px: number,
  height_px: number,
  from: (x: number, y: number) => readonly [number, number],
): Raster {
  const data = new Uint8Array(3 * width_px * height_px);
  for (let y = 0; y < height_px; y++)
    for (let x = 0; x < width_px; x++) {
      const [fx, fy] = from(x, y);
      for (let c = 0; c < 3; c++)
        data[3 * (y * width_px + x) + c] = raster.data[3 * (fy * raster.width_px + fx) + c];
    }
  return { ...raster, width_px, height_px, data };
}

/** The photo with its light multiplied from place to place (0–1 of linear light; more clips). */
export function relit(raster: Raster, factor: (x: number, y: number) => number): Raster {
  const decode = raster.profile.decode[0];
  const encode = (light: number): number =>
    255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055);
  const data = new Uint8Array(raster.data.length);
  eachPixel(raster, (x, y, at) => {
    const f = factor(x, y);
    for (let c = 0; c < 3; c++)
      data[at + c] = Math.round(encode(Math.min(1, decode[raster.data[at + c]] * f)));
  });
  return { ...raster, data };
}

/** The photo with a grey thing laid over the pixels for which `covers` holds. */
export function covered(raster: Raster, covers: (x: number, y: number) => boolean): Raster {
  const data = Uint8Array.from(raster.data);
  eachPixel(raster, (x, y, at) => {
    if (covers(x, y)) data.fill(128, at, at + 3);
  });
  return { ...raster, data };
}

function eachPixel({ width_px, height_px }: Raster, visit: (x: number, y: number, at: number) => void): void {
  for (let y = 0; y < height_px; y++) for (let x = 0; x < width_px; x++) visit(x, y, 3 * (y * width_px + x));
}

export function distance(a: readonly [number, number], b: readonly [number, number]): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}
