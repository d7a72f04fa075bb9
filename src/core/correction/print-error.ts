/**
 * How a print as a whole may differ from what its card file states: the paper's tint, the inks' strength and the gain
 * of half tones. Every patch of a sheet shares these; what is left is a patch's own.
 */
import { GRID, type Lab, type Viewing } from '../color/index.ts';
import { type ColourGradient, colourChange } from './colour-change.ts';
import { type PressState, pressOn, printed, separated, USUAL_PRESS, usualBut } from './press.ts';

const N = GRID.count;

/** Bands of the spectrum in which a print is off: short, middle and long waves. */
export const BANDS = [440, 545, 640].map((centre) =>
  Float64Array.from({ length: N }, (_, i) =>
    Math.exp(-0.5 * ((GRID.start_nm + i * GRID.step_nm - centre) / 48) ** 2),
  ),
);

/**
 * Sizes of what differs from print to print, beside each other: an ink's strength, of its density; the gain of half tones, by
 * ink and of all alike; the paper's tint. In the order of printing standards' tolerances (ISO 12647-2 asks for a solid
 * within 5 ΔE, half tones within 3 to 4 %), from memory; how large they are together a card's `u` says.
 */
const STRENGTH = 0.08;
const GAIN = 0.03;
const COMMON_GAIN = 0.03;
const PAPER = 0.012;

/** The usual press with one thing changed. */
const OTHER_PRESSES: readonly PressState[] = [
  ...USUAL_PRESS.strength.map((_, ink) => usualBut('strength', ink, STRENGTH)),
  ...USUAL_PRESS.gain.map((_, ink) => usualBut('gain', ink, GAIN)),
  { ...USUAL_PRESS, gain: USUAL_PRESS.gain.map((v) => v + COMMON_GAIN) },
];

/** Share of a print error's variance that is a patch's own, where the print was never measured. */
const OWN = 0.35;

/** A patch as stated. */
export interface StatedPatch {
  readonly reflectance: Float64Array;
  readonly lab: Lab;
  readonly gradient: ColourGradient;
  /** Standard uncertainty of its stated colour, ΔE2000. */
  readonly u: number;
}

/** How much of a patch's doubt is the print's as a whole: hardly any where an instrument's noise is all the doubt there is. */
export function neverMeasured(u: number): number {
  return Math.min(1, (u / 1.5) ** 2);
}

/** Standard uncertainty of each patch that is its own. The same recipe printed several times comes out alike. */
export function ownDoubts(patches: readonly StatedPatch[]): number[] {
  const alike = likeOnes(patches);
  return patches.map(({ u }, i) => u * Math.sqrt(1 - neverMeasured(u) * (1 - OWN / alike[i])));
}

export function likeOnes(patches: readonly StatedPatch[]): number[] {
  const count = new Map<string, number>();
  for (const p of patches) count.set(recipeOf(p), (count.get(recipeOf(p)) ?? 0) + 1);
  return patches.map((p) => count.get(recipeOf(p))!);
}

/** Reflectance of the lightest patch. */
export function paperOf(patches: readonly Pick<StatedPatch, 'lab' | 'reflectance'>[]): Float64Array {
  return patches.reduce((best, p) => (p.lab[0] > best.lab[0] ? p : best)).reflectance;
}

/** Patches of one colour are printed by one recipe. */
function recipeOf({ lab }: Pick<StatedPatch, 'lab'>): string {
  return lab.map((v) => v.toFixed(1)).join();
}

/**
 * Per patch, how it changes with each thing that a print may be off by as a whole (12 × 36), of such a size that the
 * colours' rms ΔE2000 over the card is what `u` leaves to it.
 */
export function sharedPrintModes(patches: readonly StatedPatch[], under: Viewing): readonly Float64Array[][] {
  const modes = waysOff(patches, under);
  const alike = likeOnes(patches);
  let square = 0;
  let stated = 0;
  let weight = 0;
  patches.forEach(({ gradient, u }, i) => {
    for (const m of modes[i]) {
      const [x, y, z] = colourChange(gradient, m);
      square += (x * x + y * y + z * z) / alike[i];
    }
    stated += (u * u) / alike[i];
    weight += 1 / alike[i];
  });
  // inks and paper say which patches are off by more; `u` only how far the card is
  const unit = Math.sqrt((1 - OWN) / (square / weight || 1));
  const cardsU = Math.sqrt(stated / weight);
  return modes.map((ways, i) => {
    const size = unit * cardsU * Math.sqrt(neverMeasured(patches[i].u));
    return ways.map((m) => m.map((v) => size * v));
  });
}

/** Per patch, what its reflectance gains when an ink is stronger, dots grow, or the paper has another tint. */
function waysOff(patches: readonly StatedPatch[], under: Viewing): Float64Array[][] {
  const tints = BANDS.map((band) => band.map((v) => PAPER * v));
  const changes = changesByPress(patches, OTHER_PRESSES, under);
  return patches.map(({ reflectance }, i) =>
    [...changes[i], ...tints].map((way) => way.map((v, n) => v * reflectance[n])),
  );
}

/** Per patch, the relative change of its reflectance with each of some presses beside the usual one. */
export function changesByPress(
  patches: readonly Pick<StatedPatch, 'lab' | 'reflectance'>[],
  presses: readonly PressState[],
  under: Viewing,
): (readonly Float64Array[])[] {
  const paper = paperOf(patches);
  const usual = pressOn(paper, USUAL_PRESS);
  const others = presses.map((state) => pressOn(paper, state));
  const known = new Map<string, readonly Float64Array[]>();
  const relative = (lab: Lab): readonly Float64Array[] => {
    const coverage = separated(usual, lab, under);
    const plain = printed(usual, coverage);
    return others.map((press) => printed(press, coverage).map((v, i) => v / plain[i] - 1));
  };
  return patches.map((patch) => {
    const key = recipeOf(patch);
    const changes = known.get(key) ?? relative(patch.lab);
    known.set(key, changes);
    return changes;
  });
}
