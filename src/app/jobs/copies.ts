/** Copies of jobs as files: out of the library or of what this window holds, and back in. */
import type { Job } from '../../../shared/schemas/job.ts';
import type { Warning } from '../../core/errors.ts';
import { cardsOf, createJob, readJobRow } from '../library/jobs.ts';
import { storageProblem } from '../library/storage.ts';
import { type AppProblem, jobInHand, openPhoto, openUnsaved, withOwnTolerances } from '../store/index.ts';
import { download, fileNameOf } from '../ui/download.ts';
import { bench } from '../worker/client.ts';
import type { OpenedBundle, Part } from '../worker/protocol.ts';

export type Outcome<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: AppProblem };

/**
 * Saves a job with its photos as one file. What this window holds unstored goes in as it is on screen, whether or not
 * anything can be stored. Answers what there is to say about it.
 */
export async function keepCopy(
  id: string,
  { keepMetadata = false } = {},
): Promise<Outcome<readonly Warning[]>> {
  try {
    const held = jobInHand(id);
    const job = held?.job ?? (await readJobRow(id))?.job;
    if (!job) return { ok: false, problem: GONE };
    const photos = new Map<string, Blob>();
    for (const photo of job.photos) {
      const blob = await openPhoto(photo.id, id).catch(() => undefined);
      if (blob) photos.set(photo.id, blob);
    }
    const cards = held?.cards ?? (await cardsOf(id));
    const part = await bench().packJob({ job: withOwnTolerances(job), photos, cards, keepMetadata });
    if (!part.ok) return part;
    download(part.value.file, `${fileNameOf(job.name, 'job')}.zip`);
    return { ok: true, value: part.value.warnings };
  } catch {
    return { ok: false, problem: BROKE_OFF };
  }
}

const GONE: AppProblem = {
  code: 'job-gone',
  message: 'No copy was made: this job is not on this device any more.',
  hint: 'Look under “Storage” whether it can be put back.',
};
const BROKE_OFF: AppProblem = {
  code: 'copy-broke-off',
  message: 'The work on the copy broke off.',
  hint: 'Nothing was changed. Try again; if it breaks off again, close other windows to free memory.',
};

export interface BroughtIn {
  readonly id: string;
  readonly job: Job;
  readonly warnings: readonly Warning[];
}

/**
 * Brings a copy in as a new job; nothing that is here is changed. Where it cannot be stored it is opened all the same,
 * and saving says so.
 */
export async function bringIn(file: File, allowDamaged = false): Promise<Outcome<BroughtIn>> {
  let part: Part<OpenedBundle>;
  try {
    part = await bench().openBundle(file, { allowDamaged });
  } catch {
    return { ok: false, problem: { ...BROKE_OFF, message: `Reading ${file.name} broke off.` } };
  }
  if (!part.ok) return { ok: false, problem: inTheApp(part.problem) };
  const { job, photos, cards, warnings } = part.value;
  const attachments = { photos, cards };
  try {
    return { ok: true, value: { id: await createJob(job, attachments), job, warnings } };
  } catch (error) {
    const id = openUnsaved(job, attachments, storageProblem(error));
    return { ok: true, value: { id, job, warnings } };
  }
}

/** The core's refusals, with ways out that exist on this screen. */
function inTheApp(problem: AppProblem): AppProblem {
  switch (problem.code) {
    case 'bundle-newer':
      return {
        ...problem,
        hint: 'Load this app again while connected, so that it renews itself; then try again.',
      };
    case 'bundle-damaged':
      return {
        ...problem,
        hint: 'Best copy the file again from where it was made. What is whole in it can be brought in all the same.',
      };
    case 'bundle-invalid':
      return problem.message.includes('zip file')
        ? { ...problem, hint: 'Choose a copy as this page keeps it: one .zip file for one job.' }
        : problem;
    default:
      return problem;
  }
}
