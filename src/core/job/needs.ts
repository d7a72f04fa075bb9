import type { Job } from '../../../shared/schemas/job.ts';
import { SprayoutError } from '../errors.ts';

/** Ids of the photos that must be read: those in which a panel or the target has a place. */
export function photosWithPlaces(job: Job): ReadonlySet<string> {
  const readings = [...job.panels.flatMap((p) => p.measured), ...(job.target?.measured ?? [])];
  return new Set(readings.flatMap((m) => (m.corners_px && m.photo !== undefined ? [m.photo] : [])));
}

/** For questions that make no sense without one. Throws `no-target` when the job has no measured target. */
export function needTarget(job: Job): void {
  if (job.target && job.target.measured.length > 0) return;
  throw new SprayoutError(
    'no-target',
    job.target ? 'the job’s target has no measurement.' : 'the job has no target.',
    'Add "target" with "measured": a "lab", or its corners in a photo.',
  );
}
