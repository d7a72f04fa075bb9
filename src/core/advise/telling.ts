/** The panel worth spraying for what it tells. */
import type { Recipe } from '../film/index.ts';
import { allRecipes } from './net.ts';
import { openAfter, sensitivity } from './openness.ts';
import type { Search } from './search.ts';

/** Ratios of few parts, up to five coats: a panel to learn from is quickly mixed. */
const QUICK_PARTS = 5;
const QUICK_COATS = 5;
/** Standard uncertainty that its reading will have, ΔE2000. */
const USUAL_U = 0.6;

/** The panel whose spraying leaves the goal's colour least open. */
export function mostTelling(
  { fit, habits, settings }: Search,
  goal: Recipe,
): { recipe: Recipe; after: number } {
  const wanted = sensitivity(fit, goal);
  const quick = { ...settings, partsUpTo: QUICK_PARTS, coatsFrom: 2, coatsUpTo: QUICK_COATS };
  const habit = { ...habits, carriers: [fit.model.usual.carrier] };
  const tried = allRecipes(habit, quick);
  return [goal, ...tried]
    .map((recipe) => ({ recipe, after: openAfter(wanted, sensitivity(fit, recipe), fit, USUAL_U) }))
    .reduce((a, b) => (b.after < a.after ? b : a));
}
