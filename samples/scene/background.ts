/** Benches that the card and panels lie on: made-up wood, grey board, cloth and concrete. */
import type { LatticeNoise } from './lattice-noise.ts';
import { edge, type Spectrum71, spectrumOf } from './spectral.ts';

export const BACKGROUNDS = ['wood', 'dark wood', 'grey', 'cloth', 'concrete'] as const;
export type BackgroundName = (typeof BACKGROUNDS)[number];

export interface Background {
  /** Two reflectances the bench is mixed from. */
  readonly spectra: readonly [Spectrum71, Spectrum71];
  /** Share of the second at a place on the plane (mm), about 0–1. */
  share(x_mm: number, y_mm: number): number;
}

export function makeBackground(name: BackgroundName, noise: LatticeNoise): Background {
  return BENCHES[name](noise);
}

const grey = (level: number, blue = 0): Spectrum71 =>
  spectrumOf((nm) => level * (1 + blue * (1 - edge(nm, 520, 60))));

/** Wood: more red than blue, rising evenly. */
const wood = (level: number, slope: number): Spectrum71 =>
  spectrumOf((nm) => level * (0.28 + 0.72 * edge(nm, 568, 60)) ** slope);

const PLANK_MM = 118;

function planks(light: Spectrum71, dark: Spectrum71): (noise: LatticeNoise) => Background {
  return (noise) => {
    // of each plank: how close its rings lie, and how dark it is as a whole
    let plank = Number.NaN;
    let rings = 0;
    let level = 0;
    const share = (x: number, y: number): number => {
      const row = Math.floor((y + 31) / PLANK_MM);
      if (row !== plank) {
        plank = row;
        rings = 0.13 + 0.03 * noise.at(row * 3.7, 5.5);
        level = 0.13 * noise.at(row * 5.1, 0.5);
      }
      const within = y + 31 - row * PLANK_MM;
      const dx = x + 391 * row;
      // growth rings cut lengthwise: slow waves along the grain, tight ones across it
      const bend = 9 * noise.at(dx * 0.0031 + 7.3 * row, y * 0.011) + 2.2 * noise.at(dx * 0.011, y * 0.05);
      const ring = (y + bend) * rings;
      const phase = ring - Math.floor(ring);
      const late = phase * phase * phase;
      const fibre = noise.at(dx * 0.06, y * 2.9) + 0.6 * noise.at(dx * 0.19, y * 7.7);
      const pore = noise.at(dx * 0.045, y * 4.3);
      const tone = level + 0.08 * noise.at(dx * 0.004, y * 0.02);
      const seam = within < 0.9 ? 0.75 * (1 - within / 0.9) : within > PLANK_MM - 0.6 ? 0.6 : 0;
      return 0.26 + tone + 0.3 * late + 0.075 * fibre + (pore > 0.62 ? 0.5 * (pore - 0.62) : 0) + seam;
    };
    return { spectra: [light, dark], share };
  };
}

const BENCHES: Readonly<Record<BackgroundName, (noise: LatticeNoise) => Background>> = {
  wood: planks(wood(0.6, 1.15), wood(0.21, 1.5)),
  'dark wood': planks(wood(0.2, 1.3), wood(0.06, 1.4)),
  grey: (noise) => ({
    spectra: [grey(0.2), grey(0.3)],
    share: (x, y) => 0.5 + 0.22 * noise.at(x * 0.012, y * 0.012) + 0.12 * noise.at(x * 1.7, y * 1.7),
  }),
  cloth: (noise) => ({
    spectra: [grey(0.11, 0.25), grey(0.3, 0.2)],
    share: (x, y) => {
      const warp = 0.3 * noise.at(x * 0.05, y * 0.05);
      const weave = Math.sin(5.2 * (x + warp)) * Math.sin(5.2 * (y - warp));
      const fold = 0.25 * noise.at(x * 0.006 + 3, y * 0.009);
      return (
        0.45 + 0.16 * weave + fold + 0.12 * noise.at(x * 0.9, y * 0.25) + 0.12 * noise.at(x * 0.25, y * 0.9)
      );
    },
  }),
  concrete: (noise) => ({
    spectra: [grey(0.34, -0.06), grey(0.17, -0.04)],
    share: (x, y) => {
      const cloud = 0.28 * noise.at(x * 0.008, y * 0.008) + 0.15 * noise.at(x * 0.035, y * 0.035);
      const grit = 0.12 * noise.at(x * 0.9, y * 0.9) + 0.08 * noise.at(x * 2.6, y * 2.6);
      const pit = noise.at(x * 0.23, y * 0.23);
      return 0.42 + cloud + grit + (pit > 0.8 ? 1.6 * (pit - 0.8) : 0);
    },
  }),
};
