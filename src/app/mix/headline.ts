/** The head of the screen: what to spray next, in a line, and why. */
import type { Job } from '../../../shared/schemas/job.ts';
import type { Advice, Suggestion } from '../../core/advise/index.ts';
import { letdownChange } from '../../core/advise/words.ts';
import type { Recipe } from '../../core/film/index.ts';
import { potOf } from '../../core/study/names.ts';
import { panelIn } from '../store/find.ts';
import { plannedRecipe, recipeKey, recipeOf } from './plan.ts';
import { coatWords, groundName, ratioWords } from './recipe-words.ts';

/** How the paint is let down until now: in the pot, else on the panel nearest so far. */
function letdownNow(job: Job, { now }: Pick<Advice, 'now'>): number {
  return (potOf(job)?.mix ?? panelIn(job, now.panel)?.mix)?.carrier ?? 0;
}

/** A recipe in a line; its letdown where that changes. */
export function recipeLine(job: Job, advice: Pick<Advice, 'now'>, recipe: Recipe): string {
  const { parts, coats, ground, carrier } = recipe;
  const change = letdownChange(letdownNow(job, advice), carrier);
  return [ratioWords(job, parts), change, `${coatWords(coats)} on ${groundName(job, ground)}`]
    .filter(Boolean)
    .join(', ');
}

const advisedFor = (recipe: Recipe, suggestions: readonly Suggestion[]): Suggestion | undefined =>
  suggestions.find((s) => recipeKey(recipeOf(s)) === recipeKey(recipe));

/** The step in a line: the advice, until the painter has planned something else. */
export function headline(job: Job, advice: Pick<Advice, 'now' | 'suggestions'>): string {
  const { suggestions } = advice;
  const recipe = plannedRecipe(job, suggestions);
  if (!recipe) return '';
  const words = `${recipeLine(job, advice, recipe)}.`;
  const advised = advisedFor(recipe, suggestions);
  if (advised?.purpose === 'keep') return `Stay with ${words}`;
  if (advised?.purpose === 'learn') return `To learn most, spray ${words}`;
  return advised ? `Spray next: ${words}` : `Planned: ${words}`;
}

/** What changes by it, and why. */
export function detailOf(job: Job, { suggestions }: Pick<Advice, 'suggestions'>): string {
  const recipe = plannedRecipe(job, suggestions);
  const advised = recipe && advisedFor(recipe, suggestions);
  if (advised) return `${advised.words} ${advised.why}`;
  return suggestions[0] ? `The advice is another: ${suggestions[0].words}` : '';
}
