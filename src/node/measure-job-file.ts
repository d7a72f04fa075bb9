import { basename } from 'node:path';
import type { CardDefinition } from '../core/card/types.ts';
import { photosWithPlaces } from '../core/job/index.ts';
import { type JobColours, measureJob } from '../core/measure/index.ts';
import type { Raster } from '../core/photo/types.ts';
import { readCard } from './read-card.ts';
import type { JobFile } from './read-job.ts';
import { readPhoto } from './read-photo.ts';

/**
 * The colours of everything a job has measured: opens the photos that panels or the target have a place in, and
 * leaves the others alone. `tell` receives a line of progress a photo. Throws what reading and measuring throw.
 */
export async function measureJobFile(
  { job, photoPaths, cardPaths }: JobFile,
  tell: (line: string) => void = () => {},
): Promise<JobColours> {
  const needed = [...photosWithPlaces(job)];
  const photos = new Map<string, { raster: Raster; card?: CardDefinition }>();
  const warnings: JobColours['warnings'][number][] = [];
  for (const [i, id] of needed.entries()) {
    const path = photoPaths.get(id) as string;
    tell(`reading ${basename(path)} (${i + 1} of ${needed.length})`);
    const cardPath = cardPaths.get(id);
    const card = cardPath === undefined ? undefined : await readCard(cardPath);
    const photo = await readPhoto(path);
    warnings.push(...photo.warnings);
    photos.set(id, { raster: photo.raster, ...(card && { card }) });
  }
  if (needed.length > 0) tell('measuring');
  const colours = measureJob(job, photos);
  return { ...colours, warnings: [...warnings, ...colours.warnings] };
}
