/** The panel that is to be sprayed next: taken from the advice or from the ladder, kept in the job. */
import type { Job } from '../../../shared/schemas/job.ts';
import type { Suggestion } from '../../core/advise/index.ts';
import type { Recipe } from '../../core/film/index.ts';
import { newPanel } from '../photos/edits.ts';
import { edit, panelIn } from '../store/index.ts';

/** What the film model is asked: the job's own plan, else the first advice. */
export function plannedRecipe(job: Job, suggestions: readonly Suggestion[]): Recipe | undefined {
  const { next } = job;
  if (next)
    return {
      ground: next.ground,
      parts: next.mix.parts,
      carrier: next.mix.carrier ?? 0,
      coats: next.coats,
      reducer_pct: next.reducer_pct ?? 0,
      clear: next.clear ?? true,
    };
  return suggestions[0] && recipeOf(suggestions[0]);
}

export const recipeOf = ({ mix, coats, ground, reducer_pct, clear }: Suggestion): Recipe => ({
  ground,
  parts: mix.parts,
  carrier: mix.carrier,
  coats,
  reducer_pct,
  clear,
});

export const recipeKey = (recipe: Recipe): string =>
  JSON.stringify([
    recipe.ground,
    Object.entries(recipe.parts)
      .filter(([, parts]) => parts > 0)
      .sort(([a], [b]) => a.localeCompare(b)),
    recipe.carrier,
    recipe.coats,
    recipe.reducer_pct,
    recipe.clear,
  ]);

export function planNext(recipe: Recipe): Promise<void> {
  return edit('Plan the next panel', (draft) => {
    draft.next = {
      mix: { parts: { ...recipe.parts }, carrier: recipe.carrier },
      ground: recipe.ground,
      coats: recipe.coats,
      reducer_pct: recipe.reducer_pct,
      clear: recipe.clear,
      done: [],
    };
  });
}

/** Makes what was sprayed one of the job's panels, with its recipe: its outline comes with the next photo. Returns its id. */
export async function markSprayed(recipe: Recipe): Promise<string> {
  let id = '';
  await edit('Add the sprayed panel', (draft) => {
    id = newPanel(draft);
    const panel = panelIn(draft, id);
    if (!panel) return;
    panel.ground = recipe.ground;
    panel.mix = { parts: { ...recipe.parts }, carrier: recipe.carrier };
    panel.reducer_pct = recipe.reducer_pct;
    panel.coats = recipe.coats;
    panel.clear = recipe.clear;
    delete draft.next;
  });
  return id;
}

/** Among what is ticked off at the bench: the pot has been given what it needs. */
const POT_POURED = 'pot';

export const isPotPoured = (job: Job): boolean => job.next?.done.includes(POT_POURED) ?? false;

/** The pot holds what was poured into it now. */
export const potPoured = ({ parts, carrier }: Recipe, volume_ml: number): Promise<void> =>
  edit('The pot is corrected', (draft) => {
    draft.pot = { mix: { parts: { ...parts }, carrier }, volume_ml };
    if (draft.next && !draft.next.done.includes(POT_POURED)) draft.next.done.push(POT_POURED);
  });
