/** Sprayed panels of the scenes: candy film over a metallic ground, bare grounds and solid paints, as reflectance spectra. */
import type { Dye, Ground } from './dyes.ts';
import type { SceneRandom } from './random.ts';
import { edge, type Spectrum71, skewBell, spectrumOf } from './spectral.ts';

/** How a clear or bare surface treats light. */
export interface Surface {
  /** Light of the illuminant that the surface itself sends to the camera, 0–1: low on a clear coat, more on a matt one. */
  readonly first: number;
  /** Share of light from inside that the surface turns back. */
  readonly internal: number;
}

/** Saunderson (J. Opt. Soc. Am. 32, 1942): reflectance seen outside of a layer that reflects `inside`. */
export function throughSurface(inside: number, k1: number, k2: number): number {
  return k1 + ((1 - k1) * (1 - k2) * inside) / (1 - k2 * inside);
}

export function makeSurface(clear: boolean, random: SceneRandom): Surface {
  return {
    first: clear ? random.between(0.002, 0.014) : random.between(0.018, 0.034),
    internal: random.between(0.42, 0.58),
  };
}

/** What was sprayed. */
export interface CandyRecipe {
  /** Parts of each dye. */
  readonly parts: readonly (readonly [Dye, number])[];
  readonly ground: Ground;
  /** Coats; 0 for the bare ground. */
  readonly coats: number;
  /** Parts of carrier to one of mix. */
  readonly carrier: number;
  /** Share of the film's usual amount that reducer leaves, 1 for none. */
  readonly reducer_pct: number;
  readonly clear: boolean;
  /** This gun hand: film amount over the intended one. */
  readonly hand: number;
}

/** How a shop's film, flakes and light behave; the same for all panels of a scene. */
export interface FilmHabit {
  /** Carrier parts at which the dyes' absorbances hold. */
  readonly usualCarrier: number;
  /** Coats build up less than in proportion: amount = coats^power. */
  readonly coatPower: number;
  /** Share of light that met flakes near the top of the film, and how much of the film it passed. */
  readonly floorShare: number;
  readonly floorPath: number;
  /** Spread of slant of the light inside the film: relative path lengths and their weights. */
  readonly paths: readonly (readonly [path: number, weight: number])[];
}

export function makeHabit(random: SceneRandom): FilmHabit {
  const flat = random.between(0.35, 0.55);
  const steep = random.between(0.1, 0.25);
  return {
    usualCarrier: random.between(4, 6),
    coatPower: random.between(0.93, 1.02),
    floorShare: random.between(0.004, 0.02),
    floorPath: random.between(0.05, 0.35),
    paths: [
      [1, 1 - flat - steep],
      [1.07, flat],
      [1.24, steep],
    ],
  };
}

/** Film amount: 1 is one coat at the usual letdown. */
export function filmAmount(recipe: CandyRecipe, habit: FilmHabit): number {
  const letdown = (1 + habit.usualCarrier) / (1 + recipe.carrier);
  return (recipe.coats ** habit.coatPower * letdown * recipe.hand) / (1 + recipe.reducer_pct / 100);
}

/** Reflectance of a candy panel, or of the bare ground when there are no coats. */
export function candyReflectance(recipe: CandyRecipe, habit: FilmHabit, surface: Surface): Spectrum71 {
  const amount = recipe.coats > 0 ? filmAmount(recipe, habit) : 0;
  const total = recipe.parts.reduce((sum, [, p]) => sum + p, 0) || 1;
  return spectrumOf((_, i) => {
    // Beer and Lambert: absorbances of one film add
    const once = recipe.parts.reduce((sum, [dye, p]) => sum + (p / total) * dye.absorbance[i], 0) * amount;
    const ground = recipe.ground.reflectance[i];
    let through = 0;
    // in at one slant and out at another: not one exponential of a mean path
    for (const [pathIn, weightIn] of habit.paths)
      for (const [pathOut, weightOut] of habit.paths)
        through += weightIn * weightOut * Math.exp(-once * (pathIn + pathOut));
    const top = habit.floorShare * Math.exp(-2 * once * habit.floorPath);
    const inside = ground * ((1 - habit.floorShare) * through + top);
    return surface.first + 0.96 * throughSurface(inside, 0, surface.internal);
  });
}

/** Reflectance of a layer that hides its ground, by its absorption over its scattering (Kubelka and Munk). */
export const hidingLayer = (ks: number): number => 1 + ks - Math.sqrt(ks * ks + 2 * ks);

/** A solid paint: two to three made-up pigments in white by two-constant Kubelka–Munk, under the surface. */
export function solidReflectance(random: SceneRandom, surface: Surface): Spectrum71 {
  const pigments = Array.from({ length: 1 + random.below(3) }, () => {
    const peak = random.between(400, 680);
    const short = random.between(30, 70);
    const long = random.between(30, 70);
    const k = Math.exp(random.between(-2.5, 1.2));
    const s = random.between(0.05, 0.4);
    return spectrumOf((nm) => k * skewBell(nm, peak, short, long)).map((v) => v / (1 + s));
  });
  const black = Math.exp(random.between(-6, -1));
  return spectrumOf((nm, i) => {
    const white = 0.004 + 0.6 * Math.exp(-(nm - 372) / 9);
    const ks = pigments.reduce((sum, p) => sum + p[i], white + black);
    return surface.first + 0.96 * throughSurface(hidingLayer(ks), 0, surface.internal);
  });
}

/** What a customer brings, of any maker's paint: a pigment with one edge, from yellow to red, in a hiding layer. */
export function sampleReflectance(random: SceneRandom): Spectrum71 {
  const edge_nm = random.between(480, 610);
  const width_nm = random.between(7, 18);
  const top = Math.exp(random.normal(0.9, 0.6));
  const base = Math.exp(random.normal(-3.3, 0.6));
  const bump = Math.exp(random.normal(-1.8, 0.7));
  const bumpAt_nm = edge_nm - random.between(20, 110);
  const bumpWidth_nm = random.between(30, 60);
  return spectrumOf((nm) => {
    const ks =
      base + top * (1 - edge(nm, edge_nm, width_nm)) + bump * skewBell(nm, bumpAt_nm, bumpWidth_nm, 60);
    return 0.008 + 0.96 * throughSurface(hidingLayer(ks), 0, 0.5);
  });
}
