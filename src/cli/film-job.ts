/** A job's film model for the commands that ask it: measured, fitted, with the names people gave. */
import type { Names } from '../core/advise/index.ts';
import type { Warning } from '../core/errors.ts';
import { type FilmFit, filmDataOf, fitFilm } from '../core/film/index.ts';
import { type Job, photosWithPlaces } from '../core/job/index.ts';
import type { Pot } from '../core/mix/index.ts';
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
  const fit = fitFilm(filmDataOf(job, { leaveOut, colours: measured?.colours }));
  return { fit, warnings: measured?.warnings ?? [] };
}

/** Names for sentences: those given, without capitals, else the ids. */
export function filmNames(job: Job): Names {
  const called = (list: readonly { id: string; name?: string | undefined }[]) => {
    const names = new Map(list.map((e) => [e.id, e.name]));
    return (id: string): string => (names.get(id) ?? id).toLowerCase();
  };
  return {
    tint: called(job.tints),
    ground: called(job.grounds),
    target: targetName(job.target?.name),
  };
}

function targetName(name: string | undefined): string {
  if (!name?.trim()) return 'the target';
  const plain = name.trim().toLowerCase();
  return plain.startsWith('the ') ? plain : `the ${plain}`;
}

/** What is in the job's pot. */
export function potOf({ pot }: Job): Pot | undefined {
  if (!pot) return undefined;
  return { mix: { parts: pot.mix.parts, carrier: pot.mix.carrier ?? 0 }, volume_ml: pot.volume_ml };
}
