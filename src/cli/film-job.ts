/** A job's film model for the commands that ask it: measured and fitted. */
import type { Warning } from '../core/errors.ts';
import { type FilmFit, filmDataOf, fitFilm } from '../core/film/index.ts';
import { photosWithPlaces } from '../core/job/index.ts';
import { setAside } from '../core/study/index.ts';
import { measureJobFile } from '../node/measure-job-file.ts';
import type { JobFile } from '../node/read-job.ts';

export interface FittedJob {
  readonly fit: FilmFit;
  /** What measuring had to say. */
  readonly warnings: readonly Warning[];
}

/** Measures what a job has only in photos, then fits the film model. `leaveOut` names panels set aside. */
export async function fitJob(
  jobFile: JobFile,
  leaveOut: readonly string[],
  tell: (line: string) => void,
): Promise<FittedJob> {
  const { job } = jobFile;
  const needsPhotos = photosWithPlaces(job).size > 0;
  const measured = needsPhotos ? await measureJobFile(jobFile, tell) : undefined;
  const fit = fitFilm(
    filmDataOf(job, { leaveOut: [...setAside(job), ...leaveOut], colours: measured?.colours }),
  );
  return { fit, warnings: measured?.warnings ?? [] };
}
