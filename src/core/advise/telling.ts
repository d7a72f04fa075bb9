/** The panel worth spraying for what it tells. */
import type { Recipe } from '../film/index.ts';
import { allRecipes } from './net.ts';
import { openAfter, sensitivity } from './openness.ts';
import type { Search } from './search.ts';

/** Ratios of few parts, two to five coats where they may be: a panel to learn from is quickly mixed. */
const QUICK_PARTS = 5;
const QUICK_COATS = { from: 2, upTo: 5 };
/** Standard uncertainty that its reading will have, ΔE2000. */
const USUAL_U = 0.6;

/** The panel whose spraying leaves the goal's colour least open. */
export function mostTelling(
  { fit, habits, settings }: Search,
  goal: Recipe,
): { recipe: Recipe; after: number } {
  const wanted = sensitivity(fit, goal);
  const { partsUpTo, coatsFrom, coatsUpTo } = settings;
  const quick = {
    ...settings,
    partsUpTo: Math.min(QUICK_PARTS, partsUpTo),
    coatsFrom: Math.max(coatsFrom, Math.min(QUICK_COATS.from, coatsUpTo)),
    coatsUpTo: Math.min(QUICK_COATS.upTo, coatsUpTo),
  };
  const habit = { ...habits, carriers: settings.carriers ?? [fit.model.usual.carrier] };
  const tried = allRecipes(habit, quick);
  return [goal, ...tried]
    .map((recipe) => ({ recipe, after: openAfter(wanted, sensitivity(fit, recipe), fit, USUAL_U) }))
    .reduce((a, b) => (b.after < a.after ? b : a));
}
