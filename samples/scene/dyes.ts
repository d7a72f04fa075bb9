/** Candy dyes and metallic grounds of the scenes, as spectra. */
import type { Family } from './lights.ts';
import type { SceneRandom } from './random.ts';
import { edge, gaussian, type Spectrum71, skewBell, smoothNoise, spectrumOf } from './spectral.ts';

/** An absorption band: peak nm, width towards short and long wavelengths (standard deviations, nm), strength. */
export type Band = readonly [peak: number, short: number, long: number, strength: number];

/** A dye as mixed for the gun: natural absorbance once through one coat at the usual letdown. */
export interface Dye {
  readonly name: string;
  readonly absorbance: Spectrum71;
}

const TUNE_DYES: Readonly<Record<string, readonly Band[]>> = {
  red: [
    [515, 38, 34, 1],
    [420, 40, 40, 0.45],
  ],
  garnet: [
    [530, 42, 38, 1],
    [430, 45, 45, 0.6],
    [630, 40, 40, 0.08],
  ],
  amber: [
    [440, 45, 38, 1],
    [380, 40, 40, 0.8],
    [520, 30, 30, 0.15],
  ],
  gold: [
    [425, 40, 40, 1],
    [370, 40, 40, 0.7],
  ],
  green: [
    [655, 48, 45, 1],
    [430, 32, 34, 0.75],
  ],
  blue: [
    [610, 50, 40, 1],
    [665, 35, 35, 0.6],
    [400, 25, 30, 0.12],
  ],
  violet: [
    [565, 42, 38, 1],
    [400, 30, 40, 0.2],
  ],
  orange: [
    [485, 42, 34, 1],
    [400, 40, 45, 0.6],
  ],
};

const JUDGE_DYES: Readonly<Record<string, readonly Band[]>> = {
  cherry: [
    [522, 30, 24, 1],
    [490, 36, 30, 0.5],
    [395, 34, 40, 0.4],
  ],
  wine: [
    [540, 46, 32, 1],
    [450, 38, 40, 0.5],
    [610, 20, 45, 0.12],
  ],
  honey: [
    [430, 50, 30, 1],
    [475, 22, 26, 0.35],
    [375, 40, 40, 0.9],
  ],
  copper: [
    [470, 55, 36, 1],
    [540, 36, 44, 0.35],
    [390, 40, 40, 0.7],
  ],
  bottle: [
    [640, 38, 55, 1],
    [600, 30, 30, 0.35],
    [415, 30, 40, 0.95],
  ],
  teal: [
    [675, 46, 40, 1],
    [615, 36, 36, 0.55],
    [385, 30, 30, 0.3],
  ],
  cobalt: [
    [590, 44, 26, 1],
    [640, 26, 36, 0.8],
    [545, 20, 20, 0.3],
  ],
  magenta: [
    [550, 34, 22, 1],
    [518, 24, 26, 0.55],
    [380, 30, 36, 0.3],
  ],
  smoke: [
    [480, 120, 140, 0.8],
    [570, 60, 60, 0.2],
  ],
};

export const DYE_NAMES: Readonly<Record<Family, readonly string[]>> = {
  tune: Object.keys(TUNE_DYES),
  judge: Object.keys(JUDGE_DYES),
};

/** A random dye of a named kind (any kind of the family when none is named). */
export function makeDye(family: Family, random: SceneRandom, name?: string): Dye {
  const kinds = { ...TUNE_DYES, ...(family === 'judge' || name ? JUDGE_DYES : {}) };
  const kind = name ?? random.pick(DYE_NAMES[family]);
  const bands = kinds[kind].map(([peak, short, long, strength]): Band => {
    const width = Math.exp(random.normal(0, 0.1));
    return [
      peak + random.normal(0, 7),
      short * width,
      long * width,
      strength * Math.exp(random.normal(0, 0.2)),
    ];
  });
  const haze = random.between(0.005, 0.03);
  const strength = random.between(0.12, 0.32);
  const absorbance = absorbanceOf(bands, haze, family === 'judge').map((a) => strength * a);
  return { name: kind, absorbance };
}

/** A dye as no chemist would make it up: one to three bands of any place and of widths from `narrowest_nm` to 60 nm. */
export function makeDyeAnywhere(random: SceneRandom, narrowest_nm: number): Dye {
  const bands = Array.from({ length: 1 + random.below(3) }, (_, i): Band => {
    const width = random.between(narrowest_nm, 60);
    return [random.between(400, 660), width, width, i === 0 ? 1 : random.between(0.2, 0.9)];
  });
  const strength = random.between(0.1, 0.4);
  const absorbance = absorbanceOf(bands, random.between(0, 0.04)).map((a) => strength * a);
  return { name: 'anywhere', absorbance };
}

/** Sum of bands over a weak grey haze, scaled so that the strongest is 1; `exponentialTails` gives bands feet as real dyes have. */
export function absorbanceOf(bands: readonly Band[], haze: number, exponentialTails = false): Spectrum71 {
  const sum = spectrumOf((nm) =>
    bands.reduce((total, [peak, short, long, strength]) => {
      const core = skewBell(nm, peak, short, long);
      const sd = nm < peak ? short : long;
      const foot = exponentialTails ? 0.06 * Math.exp(-Math.abs(nm - peak) / (1.6 * sd)) : 0;
      return total + strength * (core + foot);
    }, haze),
  );
  const top = Math.max(...sum);
  return sum.map((v) => v / top);
}

/** Metallic grounds: what the flake layer sends back under the film, before any surface. */
export const GROUND_NAMES = ['bright silver', 'pale gold', 'graphite', 'random'] as const;
export type GroundName = (typeof GROUND_NAMES)[number];

export interface Ground {
  readonly name: string;
  readonly reflectance: Spectrum71;
}

/** A metallic ground of a kind. `random` is any level from charcoal to silver with any slight tint. */
export function makeGround(name: GroundName, random: SceneRandom): Ground {
  const ripple = smoothNoise(() => random.normal(0, 1), 0.015, 80);
  const slope = random.normal(0, 0.02);
  const level = GROUND_LEVEL[name](random);
  const tint = GROUND_TINT[name](random);
  const reflectance = spectrumOf((nm, i) =>
    Math.min(0.93, level * tint(nm) * Math.exp(ripple[i] + (slope * (nm - 560)) / 150)),
  );
  return { name, reflectance };
}

const GROUND_LEVEL: Readonly<Record<GroundName, (random: SceneRandom) => number>> = {
  'bright silver': (random) => random.between(0.62, 0.78),
  'pale gold': (random) => random.between(0.55, 0.66),
  graphite: (random) => random.between(0.11, 0.19),
  random: (random) => Math.exp(random.between(Math.log(0.1), Math.log(0.72))),
};

const GROUND_TINT: Readonly<Record<GroundName, (random: SceneRandom) => (nm: number) => number>> = {
  // aluminium flake sends a little less blue back through its resin
  'bright silver': (random) => {
    const yellow = random.between(0.01, 0.05);
    return (nm) => 1 - yellow * (1 - edge(nm, 450, 25));
  },
  'pale gold': (random) => {
    const depth = random.between(0.3, 0.48);
    const at = random.between(488, 508);
    return (nm) => 1 - depth * (1 - edge(nm, at, 24));
  },
  graphite: (random) => {
    const blue = random.between(-0.02, 0.06);
    return (nm) => 1 + blue * (1 - edge(nm, 520, 50));
  },
  random: (random) => {
    const peak = random.between(430, 680);
    const depth = random.between(0, 0.3);
    return (nm) => 1 - depth * gaussian(nm, peak, 60);
  },
};
