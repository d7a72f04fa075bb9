/** The film model: what the sprayed panels say of tints, grounds and gun, and what an unsprayed recipe would look like. */
export { checkParts, checkRecipe } from './check-recipe.ts';
export { type FilmFit, fitFilm } from './fit.ts';
export { type FilmDataOptions, filmDataOf } from './from-job.ts';
export {
  DRAWS,
  drawnFrom,
  type PosteriorDraws,
  posteriorDraws,
  predictColour,
  predictDraws,
  targetColour,
  targetDraws,
} from './predict.ts';
export { differenceToTarget, type Prediction, predict, predictedColours, stretches } from './prediction.ts';
export { type FilmPriors, PRIORS } from './priors.ts';
export type * from './types.ts';
export { usuallyCleared } from './usual.ts';
