/**
 * A paint shop that never was: dyes, metallic grounds and spraying with more physics in it than the film model
 * has. Three families differ in the shape of their bands, so that what is tuned on one can be judged on the others.
 * A fourth, plain one has no more physics than a candy coat is usually said to have: dye bands, light that meets no
 * film, a surface, and a hand that varies by 5 to 7 %; no haze, no orange peel, no slanting light, equal grounds.
 */
import type { Random } from '../../../src/core/math/random.ts';
import { labOf, NM, type Triple } from './spectra.ts';

export type Family = 'gaussian' | 'wavenumber' | 'edges' | 'plain';

export interface World {
  readonly family: Family;
  /** Absorbance of one usual coat, once through, per tint. */
  readonly dyes: readonly (readonly number[])[];
  /** Scattering of one usual coat per tint (haze). */
  readonly haze: readonly number[];
  readonly grounds: readonly (readonly number[])[];
  /** Share of light that meets no film, per ground. */
  readonly gaps: readonly number[];
  /** Share of light thrown back under the surface, per ground. */
  readonly inside: readonly number[];
  readonly surface: number;
  readonly roughSurface: number;
  /** Scatter of film thickness across the panel (orange peel), and of obliquity. */
  readonly peel: number;
  readonly oblique: number;
  readonly coatGrowth: number;
  readonly letdownGrowth: number;
  readonly hand: number;
  readonly coatToCoat: number;
  readonly pouring: number;
  readonly usualCarrier: number;
}

export interface Spray {
  readonly parts: readonly number[];
  readonly carrier: number;
  readonly coats: number;
  readonly ground: number;
  readonly clear: boolean;
}

const between = (rng: Random, lo: number, hi: number): number => lo + (hi - lo) * rng.uniform();
const bell = (x: number): number => Math.exp(-0.5 * x * x);
const step = (x: number): number => 1 / (1 + Math.exp(-x));

function band(family: Family, rng: Random, peak: number): (nm: number) => number {
  const width = between(rng, 22, 60);
  if (family === 'gaussian' || family === 'plain') return (nm) => bell((nm - peak) / width);
  if (family === 'wavenumber') {
    // log-normal band in wavenumber with a vibronic shoulder
    const centre = 1e7 / peak;
    const half = (1e7 / (peak - width) - 1e7 / (peak + width)) / 2;
    const skew = between(rng, 1.05, 1.5);
    const shoulder = between(rng, 0, 0.5);
    const gap = between(rng, 1100, 1500);
    const one = (k: number, at: number): number => {
      const x = 1 + ((k - at) * (skew * skew - 1)) / (2 * half * skew);
      if (x <= 0) return 0;
      return Math.exp(-0.5 * (Math.log(x) / Math.log(skew)) ** 2);
    };
    return (nm) => one(1e7 / nm, centre) + shoulder * one(1e7 / nm, centre + gap);
  }
  // a plateau between two soft edges, as pigments have
  const up = between(rng, 6, 20);
  const down = between(rng, 8, 25);
  return (nm) => step((nm - peak + width) / up) * step((peak + width - nm) / down);
}

function dye(family: Family, rng: Random): number[] {
  const main = band(family, rng, between(rng, 400, 660));
  const strength = Math.exp(between(rng, Math.log(0.13), Math.log(0.5)));
  const second = rng.uniform() < 0.7 ? band(family, rng, between(rng, 370, 640)) : () => 0;
  const share = between(rng, 0.1, 0.8);
  const blue = between(rng, 0, 0.35);
  const grey = Math.exp(between(rng, Math.log(0.004), Math.log(0.04)));
  return NM.map(
    (nm) =>
      strength * (main(nm) + share * second(nm) + blue * Math.exp(-(nm - 380) / 45) + grey * (1 + 60 / nm)),
  );
}

function metal(kind: number, rng: Random): number[] {
  const tilt = between(rng, -0.1, 0.15);
  const level = [
    between(rng, 0.5, 0.75),
    between(rng, 0.42, 0.65),
    between(rng, 0.06, 0.16),
    between(rng, 0.4, 0.6),
  ][kind];
  const edge = [0, between(rng, 485, 525), 0, between(rng, 545, 585)][kind];
  const depth = edge ? between(rng, 0.35, 0.7) : 0;
  const soft = between(rng, 14, 32);
  const wave = between(rng, 0, 0.03);
  const phase = between(rng, 0, 6);
  return NM.map((nm) => {
    const slope = 1 + tilt * ((nm - 555) / 175) + wave * Math.sin(nm / 28 + phase);
    return level * slope * (1 - depth * (1 - step((nm - edge) / soft)));
  });
}

export function makeWorld(family: Family, tints: number, rng: Random): World {
  const grounds = [metal(0, rng), metal(rng.uniform() < 0.7 ? 1 : 3, rng), metal(2, rng)];
  const rich: World = {
    family,
    dyes: distinctDyes(family, tints, rng),
    haze: Array.from({ length: tints }, () => between(rng, 0, 0.004)),
    grounds,
    gaps: grounds.map(() => Math.exp(between(rng, Math.log(0.004), Math.log(0.025)))),
    inside: grounds.map(() => between(rng, 0.4, 0.58)),
    surface: between(rng, 0.006, 0.018),
    roughSurface: between(rng, 0.015, 0.035),
    peel: between(rng, 0.05, 0.2),
    oblique: between(rng, 0.02, 0.18),
    coatGrowth: 0.03 * rng.normal(),
    letdownGrowth: 0.05 * rng.normal(),
    hand: between(rng, 0.045, 0.065),
    coatToCoat: between(rng, 0.02, 0.04),
    pouring: between(rng, 0, 0.015),
    usualCarrier: [4, 5, 6][Math.floor(3 * rng.uniform())],
  };
  if (family !== 'plain') return rich;
  const gap = between(rng, 0.006, 0.02);
  const inside = between(rng, 0.45, 0.55);
  return {
    ...rich,
    haze: rich.dyes.map(() => 0),
    gaps: grounds.map(() => gap),
    inside: grounds.map(() => inside),
    peel: 0,
    oblique: 0,
    hand: between(rng, 0.05, 0.07),
    coatToCoat: 0,
    pouring: 0,
  };
}

/** Dyes that differ: nobody keeps two tints of one colour. */
function distinctDyes(family: Family, tints: number, rng: Random): number[][] {
  const out: number[][] = [];
  while (out.length < tints) {
    const next = dye(family, rng);
    const alike = out.some((d) => cosine(d, next) > 0.93);
    const lab = labOf(next.map((a) => 0.6 * Math.exp(-2 * 3 * a)));
    if (!alike && lab[0] > 8 && Math.hypot(lab[1], lab[2]) > 20) out.push(next);
  }
  return out;
}

function cosine(a: readonly number[], b: readonly number[]): number {
  let ab = 0;
  let aa = 0;
  let bb = 0;
  for (let i = 0; i < a.length; i++) {
    ab += a[i] * b[i];
    aa += a[i] * a[i];
    bb += b[i] * b[i];
  }
  return ab / Math.sqrt(aa * bb);
}

// seven-point Gauss–Hermite nodes and weights for a standard normal
const HERMITE: readonly (readonly [number, number])[] = [
  [0, 0.4571428571],
  [1.1544053948, 0.2401231786],
  [-1.1544053948, 0.2401231786],
  [2.3667594107, 0.03075712397],
  [-2.3667594107, 0.03075712397],
  [3.7504397177, 0.0005482689],
  [-3.7504397177, 0.0005482689],
];

/** Reflectance of a panel. Without a random source: the film an untiring hand would lay down. */
export function sprayPanel(world: World, spray: Spray, rng?: Random): Triple {
  const { ground: g } = spray;
  let film = 0;
  for (let coat = 1; coat <= spray.coats; coat++) {
    const steady = coat ** (1 + world.coatGrowth) - (coat - 1) ** (1 + world.coatGrowth);
    film += steady * (rng ? Math.exp(world.coatToCoat * rng.normal()) : 1);
  }
  film *= ((1 + spray.carrier) / (1 + world.usualCarrier)) ** -(1 + world.letdownGrowth);
  if (rng) film *= Math.exp(world.hand * rng.normal());
  const poured = spray.parts.map((p) => p * (rng ? Math.exp(world.pouring * rng.normal()) : 1));
  const total = poured.reduce((a, b) => a + b, 0) || 1;
  const gap = spray.coats > 0 ? world.gaps[g] : 0;
  const f = spray.clear ? world.surface : world.roughSurface;
  const k2 = world.inside[g] * (spray.clear ? 1 : 0.93);
  const haze = film * poured.reduce((sum, p, i) => sum + (p / total) * world.haze[i], 0);
  const spectrum = NM.map((_, n) => {
    const a = film * poured.reduce((sum, p, i) => sum + (p / total) * world.dyes[i][n], 0);
    const inner = world.grounds[g][n] * ((1 - gap) * passes(world, a) + gap) + haze / (1 + 2 * a);
    return f + (0.96 * (1 - k2) * inner) / (1 - k2 * inner);
  });
  return labOf(spectrum);
}

/** Share of light that comes back through an uneven film, in at one slant and out at another. */
function passes(world: World, once: number): number {
  let sum = 0;
  for (const [z, weight] of HERMITE) {
    const thick = Math.exp(world.peel * z - 0.5 * world.peel ** 2);
    // slants in the resin: half the light near the normal, half at the wider cone
    const near = Math.exp(-2 * once * thick);
    const wide = Math.exp(-2 * once * thick * (1 + 2 * world.oblique));
    sum += weight * 0.5 * (near + wide);
  }
  return sum;
}
