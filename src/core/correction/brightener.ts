/**
 * Optical brightener in a measured card's paper: it takes ultraviolet and gives it back as blue. The instrument saw that
 * under its own lamp (ISO 13655: M0 a filament lamp's ultraviolet, M1 that of D50); the photo's light has another share, LED
 * lamps none at all, and the whites of the card are then yellower than its file says. What is given back is taken out of the
 * paper's own spectrum, as in Gill, "A practical approach to measuring and modelling paper fluorescence" (IS&T 11th Color and
 * Imaging Conference, 2003).
 */
import { GRID, type Viewing } from '../color/index.ts';
import type { PrintedPatch } from './known-prints.ts';
import type { WeighedKind } from './light-kinds.ts';
import type { LightKindName } from './light-prior.ts';
import { bell, overGrid } from './press.ts';
import { neverMeasured, paperOf } from './print-error.ts';
import { inThisLight } from './printed-patches.ts';

const at = (nm: number): number => Math.round((nm - GRID.start_nm) / GRID.step_nm);

/** What a brightener gives back: 1 at its peak, nothing from some 520 nm on (stilbenes on paper, from memory). */
const GIVEN = overGrid((nm) => bell(nm, 440, 15, 30));
const PEAK = at(440);
/** Where it gives nothing any more, and no tint of paper takes much either. */
const BEYOND = at(520);
/** The grid's nearest to the ultraviolet that it takes, of what inks let by on the way in. */
const TAKEN = at(390);

/**
 * By how much paper without brightener may be brighter at its peak than beyond: up to .026 in prints that were bent to a
 * stated colour, below 0 in papers by themselves.
 */
const WITHOUT = 0.025;

/** As reflectance at the peak. */
function seenGlow(paper: Float64Array): number {
  const rise = paper[PEAK] - paper[BEYOND];
  return Math.max(0, Math.min(rise, 2 * (rise - WITHOUT)));
}

/** How much more of it a light wakes than the instrument's lamp did, as a share of that: −1 is none left. */
export interface Waking {
  readonly mean: number;
  readonly sd: number;
}

/**
 * By kind of light. Daylight lies between that through a window and, for an M0 instrument, twice as much as its lamp; glass of
 * tubes and bulbs lets little by. Common practice, no source.
 */
const WAKING: Readonly<Record<LightKindName, Waking>> = {
  day: { mean: 0.1, sd: 0.55 },
  led: { mean: -0.97, sd: 0.05 },
  'narrow-led': { mean: -0.97, sd: 0.05 },
  'tri-phosphor': { mean: -0.6, sd: 0.35 },
  discharge: { mean: -0.3, sd: 0.5 },
  lamp: { mean: -0.4, sd: 0.4 },
  'two kinds at once': { mean: -0.5, sd: 0.5 },
};

/** Before anything is known of the light. */
export const ANY_LIGHT: Waking = { mean: -0.4, sd: 0.6 };

/** The same of the kinds of light that a photo leaves possible. */
export function wakingUnder(kinds: readonly Pick<WeighedKind, 'kind' | 'weight'>[]): Waking {
  const each = kinds.map(({ kind, weight }) => ({ weight, ...WAKING[kind.name] }));
  const mean = each.reduce((sum, k) => sum + k.weight * k.mean, 0);
  const square = each.reduce((sum, k) => sum + k.weight * (k.sd ** 2 + (k.mean - mean) ** 2), 0);
  return { mean, sd: Math.sqrt(square) };
}

/** L* from which on a neutral patch may be bare paper; what is darker, or a colour, is blue by itself. */
const PAPER = 85;

/** What bare paper of a sheet gave back for the instrument that measured it; 0 where none did, or none can be told. */
export function glowOf(patches: readonly PrintedPatch[]): number {
  const paper = barePaper(patches);
  return paper ? seenGlow(paper) : 0;
}

/** Reflectance of a sheet's paper, of measured patches alone; undefined where it shows none. */
function barePaper(patches: readonly PrintedPatch[]): Float64Array | undefined {
  const white = patches.filter((p) => p.neutral && p.lab[0] >= PAPER && isMeasured(p));
  return white.length > 0 ? paperOf(white) : undefined;
}

/**
 * A sheet's patches in a light that wakes the brightener otherwise than the instrument's lamp did: as they then are, with what is
 * open of it as one more way in which the print may differ as a whole. Patches that were never measured stay.
 */
export function glowingIn(
  patches: readonly PrintedPatch[],
  waking: Waking,
  under: Viewing,
): readonly PrintedPatch[] {
  const paper = barePaper(patches);
  if (!paper) return patches;
  const amount = seenGlow(paper);
  return patches.map((patch) => {
    if (!isMeasured(patch))
      return { ...patch, sharedModes: [...patch.sharedModes, new Float64Array(GRID.count)], ofPhoto: 1 };
    const { reflectance: r } = patch;
    // ultraviolet passes the ink inward, blue outward: once each, and reflectance tells of both ways
    const share = Math.sqrt((r[TAKEN] / paper[TAKEN]) * (r[PEAK] / paper[PEAK]));
    const glow = GIVEN.map((v) => amount * share * v);
    const reflectance = r.map((v, i) => Math.max(1e-4, v + waking.mean * glow[i]));
    return {
      ...inThisLight(patch, reflectance, under),
      sharedModes: [...patch.sharedModes, glow.map((v) => waking.sd * v)],
      ofPhoto: 1,
    };
  });
}

const isMeasured = ({ u }: PrintedPatch): boolean => neverMeasured(u) < 0.5;
