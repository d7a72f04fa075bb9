/** Study: everything a job can tell. Each part stands by itself: what cannot be told yet says why. */
import { type Advice, type AdviseSettings, advise, type Names } from '../advise/index.ts';
import {
  type FilmFit,
  filmDataOf,
  fitFilm,
  type Prediction,
  posteriorDraws,
  predict,
  type Recipe,
} from '../film/index.ts';
import { type Job, photosWithPlaces } from '../job/index.ts';
import type { JobColours } from '../measure/index.ts';
import { filmNames, potOf } from './names.ts';

export { compareJob } from './compare-job.ts';
export { filmNames, potOf } from './names.ts';
export { andThen, attempt, attemptLater, type Part, type Problem, problemOf } from './part.ts';

/** Panels the painter has set aside when learning the paint. */
export function setAside(job: Job): string[] {
  return job.panels.filter((p) => p.set_aside).map((p) => p.id);
}

/** The film model of a job; `colours` may be left out when nothing has a place in a photo. */
export function fitJobFilm(job: Job, colours: JobColours | undefined): FilmFit {
  return fitFilm(
    filmDataOf(job, {
      leaveOut: setAside(job),
      colours: photosWithPlaces(job).size > 0 ? colours?.colours : undefined,
    }),
  );
}

/** What a panel not sprayed yet would look like; its warnings call tints and grounds by the names of the job. */
export const predictJob = (job: Job, fit: FilmFit, recipe: Recipe): Prediction =>
  predict(fit, recipe, posteriorDraws(fit), filmNames(job));

/** What to spray next, by the names, the pot, the cup and the tolerances of the job. */
export function adviseJob(
  job: Job,
  fit: FilmFit,
  settings?: Partial<AdviseSettings>,
  names: Names = filmNames(job),
): Advice {
  const { cup_ml, tolerances } = job;
  return advise(fit, { names, pot: potOf(job), cup_ml, tolerances, settings });
}
