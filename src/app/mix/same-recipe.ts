/** Recipes that are one and the same to the gun, and panels sprayed by one that no photo shows yet. */
import type { Job, JobPanel } from '../../../shared/schemas/job.ts';
import { sameRecipe } from '../../core/advise/net.ts';
import type { Recipe } from '../../core/film/index.ts';
import { waitingPanels } from '../photos/photo-state.ts';

const near = (a: number, b: number): boolean => Math.abs(a - b) < 1e-6;

/** What the advice calls one recipe, finished and reduced alike. */
export const isSameRecipe = (a: Recipe, b: Recipe): boolean =>
  sameRecipe(a, b) && a.clear === b.clear && near(a.reducer_pct, b.reducer_pct);

/** What a panel was sprayed with; undefined for a bare one, and where its recipe is not entered. */
export function recipeOfPanel({ ground, mix, coats, reducer_pct, clear }: JobPanel): Recipe | undefined {
  if (!ground || !mix || !coats) return undefined;
  return {
    ground,
    parts: mix.parts,
    carrier: mix.carrier ?? 0,
    coats,
    reducer_pct: reducer_pct ?? 0,
    clear: clear ?? true,
  };
}

/** Panels that are sprayed and not photographed yet. */
export const sprayedAndWaiting = (job: Job): readonly JobPanel[] =>
  waitingPanels(job).filter((p) => !p.set_aside && recipeOfPanel(p));

/** The one of them that was sprayed by any of the recipes. */
export function waitingTwin(job: Job, recipes: readonly Recipe[]): JobPanel | undefined {
  return sprayedAndWaiting(job).find((panel) => {
    const own = recipeOfPanel(panel);
    return own && recipes.some((recipe) => isSameRecipe(own, recipe));
  });
}
