import type { Recipe } from '../film/index.ts';
import { CARRIER, correctPot, type Pot, REDUCER, reducerFor, roomForPaint } from '../mix/index.ts';
import type { PotStep } from './types.ts';

/** What is poured, and by how much it is reduced before it is sprayed. */
type Goal = Pick<Recipe, 'parts' | 'carrier' | 'reducer_pct'>;

/** What to pour for a recipe, or null when adding can't get there. The cup must hold the reducer too. */
export function potStep(pot: Pot, goal: Goal, cup_ml?: number): PotStep | null {
  const answer = corrected(pot, goal, cup_ml);
  if ('impossible' in answer) return null;
  const { additions, final_ml, fits, take_ml } = answer;
  return {
    add_ml: Object.fromEntries(additions.map((a) => [a.what, a.ml])),
    final_ml,
    reducer_ml: reducerFor(final_ml, goal.reducer_pct),
    fits,
    take_ml,
  };
}

/** The same in words. */
export function potWords(
  pot: Pot,
  goal: Goal,
  cup_ml: number | undefined,
  tint: (id: string) => string,
): string {
  const answer = corrected(pot, goal, cup_ml);
  const called = (what: string): string => (what === CARRIER ? CARRIER : tint(what));
  if ('impossible' in answer)
    return `Start a new pot: ${called(answer.what)} is in this one, and cannot be taken out.`;
  const { additions, final_ml, fits, take_ml } = answer;
  const share = take_ml / pot.volume_ml;
  const reducer_ml = reducerFor(final_ml * share, goal.reducer_pct);
  const reducer = reducer_ml > 0 ? [`${ml(reducer_ml)} of ${REDUCER}`] : [];
  if (additions.length === 0 && fits)
    return `The pot is right as it is${reducer.length > 0 ? `: add only its ${reducer}` : ''}.`;
  const pour = [...additions.map((a) => `${ml(a.ml * share)} of ${called(a.what)}`), ...reducer].join(
    ', then ',
  );
  if (fits) return `Add ${pour}: ${ml(final_ml + reducer_ml)} in all.`;
  return `The cup is too small for all of it: start from ${ml(take_ml)} of the pot${pour ? ` and add ${pour}` : ''}.`;
}

const corrected = (pot: Pot, goal: Goal, cup_ml: number | undefined) =>
  correctPot(pot, goal, { cup_ml: roomForPaint(cup_ml, goal.reducer_pct) });

function ml(v: number): string {
  return `${v < 10 ? v.toFixed(1) : Math.round(v)} ml`;
}
