import type { Recipe } from '../film/index.ts';
import { CARRIER, correctPot, type Pot, REDUCER, reducerFor, roomForPaint } from '../mix/index.ts';
import type { PotStep } from './types.ts';

/** What is poured, and by how much it is reduced before it is sprayed. */
type Goal = Pick<Recipe, 'parts' | 'carrier' | 'reducer_pct'>;

/** What to pour, as amounts and in words; without amounts where there is no pot, or adding can't get there. */
export interface Pouring {
  readonly pot: PotStep | null;
  readonly pot_words: string;
}

/**
 * What to pour for a recipe. The cup must hold the reducer too; where it is too small for the whole pot, every amount
 * is for that part of the pot which fits.
 */
export function pouring(
  pot: Pot | undefined,
  goal: Goal,
  cup_ml: number | undefined,
  tint: (id: string) => string,
): Pouring {
  if (!pot) return { pot: null, pot_words: 'The job has no pot to add to: mix this one new.' };
  const called = (what: string): string => (what === CARRIER ? CARRIER : tint(what));
  const answer = correctPot(pot, goal, { cup_ml: roomForPaint(cup_ml, goal.reducer_pct) });
  if ('impossible' in answer)
    return {
      pot: null,
      pot_words: `Start a new pot: ${called(answer.what)} is in this one, and cannot be taken out.`,
    };
  const { additions, fits, take_ml } = answer;
  const share = take_ml / pot.volume_ml;
  const final_ml = answer.final_ml * share;
  const reducer_ml = reducerFor(final_ml, goal.reducer_pct);
  const step: PotStep = {
    add_ml: Object.fromEntries(additions.map((a) => [a.what, a.ml * share])),
    final_ml,
    reducer_ml,
    with_reducer_ml: final_ml + reducer_ml,
    fits,
    take_ml,
  };
  return { pot: step, pot_words: pouredWords(step, called) };
}

function pouredWords(
  { add_ml, reducer_ml, with_reducer_ml, fits, take_ml }: PotStep,
  called: (what: string) => string,
): string {
  const reducer = reducer_ml > 0 ? [`${ml(reducer_ml)} of ${REDUCER}`] : [];
  const additions = Object.entries(add_ml).map(([what, v]) => `${ml(v)} of ${called(what)}`);
  if (additions.length === 0 && fits)
    return `The pot is right as it is${reducer.length > 0 ? `: add only its ${reducer}` : ''}.`;
  const pour = [...additions, ...reducer].join(', then ');
  if (fits) return `Add ${pour}: ${ml(with_reducer_ml)} in all.`;
  return `The cup is too small for all of it: start from ${ml(take_ml)} of the pot${pour ? ` and add ${pour}` : ''}.`;
}

function ml(v: number): string {
  return `${v < 10 ? v.toFixed(1) : Math.round(v)} ml`;
}
