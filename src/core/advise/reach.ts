/** Whether a target lies within what the tints and grounds can do, and what is missing when it doesn't. */
import { differenceOfDraws } from '../compare/difference-of-draws.ts';
import { directionWords } from '../compare/direction.ts';
import { predictedColours } from '../film/index.ts';
import type { Candidate } from './candidates.ts';
import type { Search } from './search.ts';
import { recipeWords } from './words.ts';

export interface Reach {
  readonly within: boolean;
  /** ΔE2000 of the closest recipe from an even hand. */
  readonly closest_de00: number;
  /** Which way the target lies from the closest recipe, such as `bluer, lighter`; empty within reach. */
  readonly missing: string;
  readonly words: string;
}

/** The closest recipe must stay this far off, ΔE2000. */
const OUT_DE00 = 2.7;

export function reachOf(
  { fit, draws, names, tolerances }: Search,
  closest: Candidate,
  /** ΔE2000 that the most hopeful recipe may come down to once more panels are known. */
  hopeful_de00: number,
): Reach {
  const colours = predictedColours(fit, draws, closest.recipe);
  const gap = differenceOfDraws(colours, 1, 0);
  const within = Math.min(closest.de00, hopeful_de00) < OUT_DE00;
  if (within) return { within, closest_de00: closest.de00, missing: '', words: '' };
  const missing = directionWords(colours.lab[1], colours.lab[0], gap, tolerances);
  const want = missing ? `; what is missing is ${missing}` : '';
  return {
    within,
    closest_de00: closest.de00,
    missing,
    words: `${names.target} lies outside what these tints and grounds can do: the closest is ${recipeWords(closest.recipe, names)}, about ${closest.de00.toFixed(1)} away${want}`,
  };
}
