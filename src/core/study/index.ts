/** Study: everything a job can tell at once. Each part stands by itself: what cannot be told yet says why. */
import { type Advice, type AdviseSettings, advise } from '../advise/index.ts';
import type { Comparison } from '../compare/index.ts';
import { type FilmFit, filmDataOf, fitFilm } from '../film/index.ts';
import { type Job, photosWithPlaces } from '../job/index.ts';
import { type JobColours, joinJob, type ReadPhoto } from '../measure/index.ts';
import { compareJob } from './compare-job.ts';
import { filmNames, potOf } from './names.ts';
import { andThen, attempt, type Part } from './part.ts';

export { compareJob } from './compare-job.ts';
export { filmNames, potOf } from './names.ts';
export { andThen, attempt, type Part, type Problem, problemOf } from './part.ts';

export interface Study {
  readonly colours: Part<JobColours>;
  readonly comparison: Part<Comparison>;
  readonly film: Part<FilmFit>;
  readonly advice: Part<Advice>;
}

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

/** What to spray next, by the names, the pot and the cup of the job. */
export function adviseJob(job: Job, fit: FilmFit, settings?: Partial<AdviseSettings>): Advice {
  return advise(fit, { names: filmNames(job), pot: potOf(job), cup_ml: job.cup_ml, settings });
}

/** Measured, compared, fitted and advised from photos already read. Never throws. */
export function studyJob(job: Job, photos: ReadonlyMap<string, ReadPhoto>): Study {
  const colours = attempt(() => joinJob(job, photos));
  const comparison = andThen(colours, (measured) => compareJob(job, measured));
  const film = andThen(colours, (measured) => fitJobFilm(job, measured));
  const advice = andThen(film, (fit) => adviseJob(job, fit));
  return { colours, comparison, film, advice };
}
