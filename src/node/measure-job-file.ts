import { basename } from 'node:path';
import type { CardDefinition } from '../core/card/types.ts';
import type { Warning } from '../core/errors.ts';
import { photosWithPlaces } from '../core/job/index.ts';
import { type JobColours, measureJob } from '../core/measure/index.ts';
import type { Raster } from '../core/photo/types.ts';
import { openJobPhoto, twiceWarnings } from './open-job-photo.ts';
import type { JobFile } from './read-job.ts';

/** Photos of a job as read from their files, by id, each with its card where the job names one. */
export interface JobPhotos {
  readonly photos: ReadonlyMap<string, { readonly raster: Raster; readonly card?: CardDefinition }>;
  readonly warnings: readonly Warning[];
}

/** Receives a line of progress. */
export type Tell = (line: string) => void;

/** Opens the photos that panels or the target have a place in, and leaves the others alone. Throws what reading throws. */
export async function readJobPhotos(jobFile: JobFile, tell: Tell = () => {}): Promise<JobPhotos> {
  const needed = [...photosWithPlaces(jobFile.job)];
  const photos = new Map<string, { raster: Raster; card?: CardDefinition }>();
  const warnings: Warning[] = [...jobFile.warnings, ...twiceWarnings(jobFile, new Set(needed))];
  for (const [i, id] of needed.entries()) {
    tell(`reading ${basename(jobFile.photoPaths.get(id) as string)} (${i + 1} of ${needed.length})`);
    const { warnings: ofFile, ...photo } = await openJobPhoto(jobFile, id);
    warnings.push(...ofFile);
    photos.set(id, photo);
  }
  return { photos, warnings };
}

/** The colours of everything a job has measured. Throws what reading and measuring throw. */
export async function measureJobFile(jobFile: JobFile, tell: Tell = () => {}): Promise<JobColours> {
  const { photos, warnings } = await readJobPhotos(jobFile, tell);
  if (photos.size > 0) tell('measuring');
  const colours = measureJob(jobFile.job, photos);
  return { ...colours, warnings: [...warnings, ...colours.warnings] };
}
