/**
 * How a print as a whole may differ from what its card file states: the paper's tint, the inks' strength and the gain
 * of half tones. Every patch of a sheet shares these; what is left is a patch's own.
 */
import { GRID, type Lab } from '../color/index.ts';
import { type ColourGradient, colourChange } from './colour-change.ts';

const N = GRID.count;

/** Bands of the spectrum in which a print is off: short, middle and long waves. */
export const BANDS = [440, 545, 640].map((centre) =>
  Float64Array.from({ length: N }, (_, i) =>
    Math.exp(-0.5 * ((GRID.start_nm + i * GRID.step_nm - centre) / 48) ** 2),
  ),
);

/**
 * Number of ways in which all patches of one print may be off together: first those that tint it, then those that make it
 * lighter or darker as a whole.
 */
export const TINTING_PRINT_MODES = 7;
export const SHARED_PRINT_MODES = 12;

/** Relative sizes: paper; ink strength, of density; gain of half tones by ink and, larger, of all inks alike. */
const PAPER = 0.012;
const STRENGTH = 0.07;
const GAIN = 0.08;
const COMMON_GAIN = 0.1;
/** Share of a dark grey's density that is black ink, as far as one can guess. */
const BLACK_SHARE = 0.5;
/** Share of the darkest patch's reflectance that its surface sends back, whatever the ink. */
const SURFACE_SHARE = 0.8;

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
  const key = ({ lab }: StatedPatch): string => lab.map((v) => v.toFixed(1)).join();
  const count = new Map<string, number>();
  for (const p of patches) count.set(key(p), (count.get(key(p)) ?? 0) + 1);
  return patches.map((p) => count.get(key(p))!);
}

/**
 * Per patch, how it changes with each thing that a print may be off by as a whole (12 × 36), of such a size that the
 * colours' rms ΔE2000 over the card is what `u` leaves to it.
 */
export function sharedPrintModes(patches: readonly StatedPatch[]): readonly Float64Array[][] {
  const byLight = (a: StatedPatch, b: StatedPatch): number => a.lab[0] - b.lab[0];
  const sorted = [...patches].sort(byLight);
  const paper = sorted[sorted.length - 1].reflectance.map((p) => Math.max(p, 0.05));
  const surface = sorted[0].reflectance.map((r, i) => SURFACE_SHARE * Math.min(r, 0.03, 0.5 * paper[i]));
  const modes = patches.map(({ reflectance }) => waysOff(reflectance, paper, surface));
  const alike = likeOnes(patches);
  let square = 0;
  let weight = 0;
  patches.forEach(({ gradient }, i) => {
    for (const m of modes[i]) {
      const [x, y, z] = colourChange(gradient, m);
      square += (x * x + y * y + z * z) / alike[i];
    }
    weight += 1 / alike[i];
  });
  const unit = Math.sqrt((1 - OWN) / (square / weight || 1));
  return modes.map((ways, i) => {
    const u = patches[i].u;
    const size = unit * u * Math.sqrt(neverMeasured(u));
    return ways.map((m) => m.map((v) => size * v));
  });
}

function waysOff(r: Float64Array, paper: Float64Array, surface: Float64Array): Float64Array[] {
  const above = r.map((v, i) => Math.max(v - surface[i], 0.1 * surface[i]));
  const density = above.map((a, i) => Math.max(0, Math.log((paper[i] - surface[i]) / a)));
  const black = BLACK_SHARE * Math.min(...BANDS.map((band) => weighted(density, band)));
  const coloured = density.map((d) => (d > 0 ? Math.max(0, 1 - black / d) : 0));
  const stronger = above.map((a, i) => -STRENGTH * a * density[i]);
  const fuller = r.map((v, i) => {
    const cover = Math.max(0, Math.min(1, 1 - v / paper[i]));
    return -paper[i] * cover * (1 - cover);
  });
  const strength = BANDS.map((band) => stronger.map((v, i) => band[i] * coloured[i] * v));
  const gain = BANDS.map((band) => fuller.map((v, i) => GAIN * band[i] * coloured[i] * v));
  return [
    ...BANDS.map((band) => r.map((v, i) => PAPER * band[i] * v)),
    ...contrasts(strength),
    ...contrasts(gain),
    together(strength),
    stronger.map((v, i) => (1 - coloured[i]) * v),
    together(gain),
    fuller.map((v, i) => GAIN * (1 - coloured[i]) * v),
    fuller.map((v) => COMMON_GAIN * v),
  ];
}

function weighted(values: Float64Array, weights: Float64Array): number {
  let sum = 0;
  let total = 0;
  for (let i = 0; i < values.length; i++) {
    sum += weights[i] * values[i];
    total += weights[i];
  }
  return sum / total;
}

/** Three equal and independent ways, turned: what they do alike, and against each other. */
function together([a, b, c]: readonly Float64Array[]): Float64Array {
  return a.map((v, i) => (v + b[i] + c[i]) / Math.sqrt(3));
}

function contrasts([a, b, c]: readonly Float64Array[]): Float64Array[] {
  return [a.map((v, i) => (v - c[i]) / Math.SQRT2), a.map((v, i) => (v - 2 * b[i] + c[i]) / Math.sqrt(6))];
}
