import { CARRIER, correctPot, type Pot, type PotMix } from '../mix/index.ts';
import type { PotStep } from './types.ts';

/** What to pour for a mix, or null when adding can't get there. */
export function potStep(pot: Pot, goal: PotMix, cup_ml?: number): PotStep | null {
  const answer = correctPot(pot, goal, { cup_ml });
  if ('impossible' in answer) return null;
  const { additions, final_ml, fits, take_ml } = answer;
  return { add_ml: Object.fromEntries(additions.map((a) => [a.what, a.ml])), final_ml, fits, take_ml };
}

/** The same in words. */
export function potWords(
  pot: Pot,
  goal: PotMix,
  cup_ml: number | undefined,
  tint: (id: string) => string,
): string {
  const answer = correctPot(pot, goal, { cup_ml });
  const called = (what: string): string => (what === CARRIER ? CARRIER : tint(what));
  if ('impossible' in answer)
    return `Start a new pot: ${called(answer.what)} is in this one, and cannot be taken out.`;
  const { additions, final_ml, fits, take_ml } = answer;
  if (additions.length === 0) return 'The pot is right as it is.';
  const share = take_ml / pot.volume_ml;
  const pour = additions.map((a) => `${ml(a.ml * share)} of ${called(a.what)}`).join(', then ');
  if (fits) return `Add ${pour}: ${ml(final_ml)} in all.`;
  return `The cup is too small for all of it: start from ${ml(take_ml)} of the pot and add ${pour}.`;
}

function ml(v: number): string {
  return `${v < 10 ? v.toFixed(1) : Math.round(v)} ml`;
}
