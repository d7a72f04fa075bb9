/**
 * Whose spectra nobody measured: patches whose colour an instrument has told, but not how it comes about. Inks of one sheet absorb
 * where they do in every patch, so that all guesses are wrong alike; taken for errors of each patch by itself they would seem to
 * average out.
 */
import type { Viewing } from '../color/index.ts';
import { type PatchSpectrum, type SpectrumSource, sameColour } from './patch-spectra.ts';
import { type PressState, usualBut } from './press.ts';
import { changesByPress } from './print-error.ts';

/** How far an ink's band may lie from the usual one, and how much broader it may be: between makers, in round figures, from memory. */
const SHIFT_NM = 8;
const BREADTH = 0.12;
/** Cyan, magenta and yellow: black has no band. */
const COLOURED = 3;

/** ΔE2000 rms between a card's spectra and its Lab from which on the spectra are taken for guesses. */
const GUESS_DE00 = 0.5;

/**
 * How far the patches' spectra are guesses, 0–1 each: 1 where none is stated; else the more, the farther the card's spectra are
 * from its Lab, as a nominal spectrum kept beside a measured Lab is.
 */
export function guessedShares(patches: readonly PatchSpectrum[]): number[] {
  const stated = patches.filter((p) => p.source === 'stated');
  const rms = Math.sqrt(stated.reduce((sum, p) => sum + p.apart_de00 ** 2, 0) / Math.max(1, stated.length));
  return patches.map((p) => (p.source === 'stated' ? Math.min(1, rms / GUESS_DE00) : 1));
}

/** Where a card's spectra come from as a whole. Stated ones that are guesses are those of other inks. */
export function cardsSource(patches: readonly PatchSpectrum[], guessed: readonly number[]): SpectrumSource {
  if (patches.some((p, i) => p.source === 'stated' && guessed[i] < 0.5)) return 'stated';
  return patches.some((p) => p.source !== 'lab') ? 'inks' : 'lab';
}

const OTHER_INKS: readonly PressState[] = Array.from({ length: COLOURED }, (_, ink) => [
  usualBut('shift_nm', ink, SHIFT_NM),
  usualBut('breadth', ink, BREADTH),
]).flat();

/** Per patch, how its spectrum changes with each ink's band while its colour stays (6 × 36), by how far it is a guess. */
export function inkShapes(
  patches: readonly PatchSpectrum[],
  guessed: readonly number[],
  under: Viewing,
): Float64Array[][] {
  const changes = changesByPress(patches, OTHER_INKS, under);
  return patches.map((patch, i) => {
    const atSameColour = sameColour(patch);
    return changes[i].map((change) =>
      atSameColour(patch.reflectance.map((r, n) => guessed[i] * r * change[n])),
    );
  });
}
