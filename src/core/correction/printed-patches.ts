/** Card patches as printed: their spectra, and the ways they may be off by themselves and together. */
import type { CardPatch } from '../card/types.ts';
import { labFromReflectance, type Viewing, viewing, type WhiteName } from '../color/index.ts';
import { cardsSource, guessedShares, inkShapes } from './ink-shapes.ts';
import { KNOWN_PRINTS, type KnownPrint, type PrintedPatch } from './known-prints.ts';
import { ownPrintModes, patchSpectrum, shapeModes } from './patch-spectra.ts';
import { likeOnes, neverMeasured, ownDoubts, paperOf, sharedPrintModes } from './print-error.ts';

/** How far, of a print's, a measured patch's spectrum may be by itself from the one guessed where only its Lab is known. */
const GUESSED_SHAPE = 0.4;
/** Less than this is lost in the instrument's own noise. */
const LEAST_SHAPE = 0.1;

/** The sheet asked for last: photos of one card ask for the same again, and may be expected. */
let last: KnownPrint | undefined;

/** What is known of patches of one sheet before they are seen in a photo. */
export function printedPatches(patches: readonly CardPatch[], white: WhiteName): readonly PrintedPatch[] {
  const isSame = (known: KnownPrint): boolean =>
    white === known.white &&
    patches.length === known.patches.length &&
    patches.every((patch, i) => patch === known.patches[i]);
  if (!last || !isSame(last))
    last = KNOWN_PRINTS.find(isSame) ?? { patches, white, printed: printOf(patches, white) };
  return last.printed;
}

function printOf(patches: readonly CardPatch[], white: WhiteName): PrintedPatch[] {
  const under = viewing(white);
  const stated = patches.map((patch) => ({ u: patch.u, ...patchSpectrum(patch, under) }));
  const own = ownDoubts(stated);
  const shared = sharedPrintModes(stated, under);
  const alike = likeOnes(stated);
  const guessed = guessedShares(stated);
  const inks = guessed.some((share) => share > LEAST_SHAPE) ? inkShapes(stated, guessed, under) : undefined;
  const paper = paperOf(stated);
  const source = cardsSource(stated, guessed);
  return patches.map(({ id, role }, i) => {
    const { u, reflectance, lab } = stated[i];
    const shape = Math.max(neverMeasured(u), GUESSED_SHAPE * guessed[i]);
    const shapes = shape < LEAST_SHAPE ? [] : shapeModes(stated[i], paper, shape * Math.sqrt(alike[i]));
    return {
      id,
      neutral: role === 'neutral',
      u,
      reflectance,
      lab,
      source,
      printModes: [...ownPrintModes(stated[i], own[i]), ...shapes],
      sharedModes: inks ? [...shared[i], ...inks[i]] : shared[i],
    };
  });
}

/** A patch that has another reflectance, and so another colour, in a photo's light than its card file states. */
export function inThisLight<T extends PrintedPatch>(patch: T, reflectance: Float64Array, under: Viewing): T {
  const stated = patch.stated ?? patch.lab;
  return { ...patch, reflectance, lab: labFromReflectance(reflectance, under), stated };
}
