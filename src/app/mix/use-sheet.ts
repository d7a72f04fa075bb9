import type { Job } from '../../../shared/schemas/job.ts';
import type { Recipe } from '../../core/film/index.ts';
import type { MixingSheet, SheetRequest } from '../../core/mix/index.ts';
import { latestOf, useAnswer } from '../store/index.ts';
import { recipeKey } from './plan.ts';

/** The mixing sheet of a recipe, and by how much rounding to the cup's marks moves its colour, ΔE2000. */
export function useSheet(
  job: Job,
  recipe: Recipe,
  volume_ml: number,
  graduation_ml: number | undefined,
): { readonly sheet: MixingSheet | undefined; readonly rounding: number | undefined } {
  const request: SheetRequest = {
    mix: { parts: recipe.parts, carrier: recipe.carrier },
    reducer_pct: recipe.reducer_pct,
    amount: { volume_ml },
    graduation_ml,
    cup_ml: job.cup_ml,
  };
  const sheet = latestOf(useAnswer((bench) => bench.sheet(request), JSON.stringify(request)));
  const poured = sheet?.poured;
  const rounding = latestOf(
    useAnswer(
      (bench) => bench.roundingOf(recipe, poured ?? { parts: recipe.parts, carrier: recipe.carrier }),
      poured && `${recipeKey(recipe)} ${JSON.stringify(poured)}`,
    ),
  );
  return { sheet, rounding };
}
