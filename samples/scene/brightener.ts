/**
 * Optical brightener in a card's paper: it takes ultraviolet and gives it back as blue, so the paper is as white as its
 * light has ultraviolet. An instrument sees it under a lamp of its own (ISO 13655: M1 has the ultraviolet of D50, M0 that of a
 * filament lamp).
 */
import type { LightKind } from './lights.ts';
import type { SceneRandom } from './random.ts';
import { type Spectrum71, skewBell, spectrumOf } from './spectral.ts';

/** What a brightener gives back, 1 at its peak; from memory of the usual stilbenes, with a tail to 520 nm. */
const GIVEN = spectrumOf((nm) => skewBell(nm, 438, 14, 32));
/** Places of the ultraviolet it takes (the nearest there is to 365 nm) and of what it gives, on the 5 nm grid from 380 nm. */
const TAKEN_AT = 0;
const GIVEN_AT = 12;

/** Ultraviolet of a light beside its visible light, that of D50 being 1: common practice, no source. */
const ULTRAVIOLET: Readonly<Record<LightKind, readonly [least: number, most: number]>> = {
  // in the open, or through a window
  day: [0.5, 1.1],
  'warm-led': [0, 0.05],
  'cool-led': [0, 0.05],
  'rgb-led': [0, 0.02],
  'tri-phosphor': [0.1, 0.5],
  lamp: [0.15, 0.6],
};

/** How much ultraviolet a photo's light has. */
export function ultravioletOf(kind: LightKind, random: SceneRandom): number {
  return random.between(...ULTRAVIOLET[kind]);
}

/** The same of an instrument's lamp: M1 or M0. */
export function instrumentUltraviolet(random: SceneRandom): number {
  return random.pick([1, 0.45] as const);
}

/** A print on such paper that gives back `amount` where it is bare: ultraviolet passes the ink inward, blue outward. */
export function withGlow(spectrum: Spectrum71, paper: Spectrum71, amount: number): Spectrum71 {
  const inward = Math.sqrt(spectrum[TAKEN_AT] / paper[TAKEN_AT]);
  const outward = Math.sqrt(spectrum[GIVEN_AT] / paper[GIVEN_AT]);
  return spectrum.map((v, i) => v + amount * inward * outward * GIVEN[i]);
}
