import { basename } from 'node:path';
import type { Warning } from '../core/errors.ts';
import { type Job, photosWithPlaces } from '../core/job/index.ts';
import { type ReadPhoto, readWholePhoto } from '../core/measure/index.ts';
import type { Raster } from '../core/photo/types.ts';
import type { Tell } from './measure-job-file.ts';
import { openJobPhoto, twiceWarnings } from './open-job-photo.ts';
import type { JobFile } from './read-job.ts';

/** Looks at a photo's pixels before they are let go. */
export type LookAtPhoto = (raster: Raster, photo: Job['photos'][number], read: ReadPhoto) => void;

/**
 * Every photo of a job that something has a place in, read: card, correction and places, face and flop. Pixels are let
 * go photo by photo. Throws what reading throws, also for a place that cannot be read.
 */
export async function readPhotosOfJob(
  jobFile: JobFile,
  tell: Tell = () => {},
  look: LookAtPhoto = () => {},
): Promise<{ readonly photos: ReadonlyMap<string, ReadPhoto>; readonly warnings: readonly Warning[] }> {
  const { job, photoPaths } = jobFile;
  const needed = photosWithPlaces(job);
  const photos = new Map<string, ReadPhoto>();
  const warnings: Warning[] = [...jobFile.warnings, ...twiceWarnings(jobFile, needed)];
  for (const photo of job.photos) {
    if (!needed.has(photo.id)) continue;
    tell(`reading ${basename(photoPaths.get(photo.id) as string)} (${photos.size + 1} of ${needed.size})`);
    const { raster, card, warnings: ofFile } = await openJobPhoto(jobFile, photo.id);
    warnings.push(...ofFile);
    const read = readWholePhoto(job, photo, { raster, ...(card && { card }) });
    photos.set(photo.id, read);
    look(raster, photo, read);
  }
  return { photos, warnings };
}
