import type { Job } from '../../../shared/schemas/job.ts';
import type { Recipe } from '../../core/film/index.ts';
import type { MixingSheet, SheetRequest } from '../../core/mix/index.ts';
import { type AppProblem, latestOf, useAnswer } from '../store/index.ts';
import { recipeKey } from './plan.ts';

/** The mixing sheet of a recipe; why there is none where the marks are too coarse for it. */
export function useSheet(
  job: Job,
  recipe: Recipe,
  volume_ml: number,
  graduation_ml: number | undefined,
): { readonly sheet?: MixingSheet | undefined; readonly problem?: AppProblem } {
  const request: SheetRequest = {
    mix: { parts: recipe.parts, carrier: recipe.carrier },
    reducer_pct: recipe.reducer_pct,
    amount: { volume_ml },
    graduation_ml,
    cup_ml: job.cup_ml,
  };
  const work = useAnswer((bench) => bench.sheet(request), JSON.stringify(request));
  return work.state === 'failed' ? { problem: work.problem } : { sheet: latestOf(work) };
}

/** By how much the colour moves when it is poured otherwise than planned, ΔE2000; undefined until that is known. */
export function useRounding(recipe: Recipe, poured: Recipe): number | undefined {
  const work = useAnswer(
    (bench) => bench.roundingOf(recipe, poured),
    `${recipeKey(recipe)} ${recipeKey(poured)}`,
  );
  return work.state === 'done' ? work.value : undefined;
}
