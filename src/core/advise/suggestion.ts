/** A recipe as a suggestion: its colour, how far it should land from the target, what to pour, and all of it in words. */
import { differenceToTarget, predictColour, type Recipe } from '../film/index.ts';
import { pouring } from './pot-step.ts';
import type { Search } from './search.ts';
import type { Suggestion } from './types.ts';
import { distanceWords, recipeWords, sentence, stepWords } from './words.ts';

export function suggestion(
  { fit, draws, from, names, pot, cup_ml }: Search,
  recipe: Recipe,
  purpose: Suggestion['purpose'],
  why: string,
): Suggestion {
  const difference = differenceToTarget(fit, draws, recipe);
  const interval95 = difference?.interval95 ?? [0, 0];
  const de00 = difference?.de00 ?? 0;
  const distance = distanceWords(de00, interval95, names);
  const step =
    purpose === 'learn'
      ? `spray ${recipeWords(recipe, names, from.carrier)}, to learn from; ${distance}`
      : `${stepWords(from, recipe, names)}; ${distance}`;
  const mix = { parts: recipe.parts, carrier: recipe.carrier };
  return {
    purpose,
    mix,
    coats: recipe.coats,
    ground: recipe.ground,
    reducer_pct: recipe.reducer_pct,
    clear: recipe.clear,
    lab: predictColour(fit, recipe),
    de00,
    interval95,
    words: sentence(step),
    why,
    ...pouring(pot, recipe, cup_ml, names.tint),
  };
}
