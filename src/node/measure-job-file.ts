import { basename } from 'node:path';
import { parseCard } from '../core/card/definition.ts';
import type { CardDefinition } from '../core/card/types.ts';
import type { Warning } from '../core/errors.ts';
import { parseJson, photosWithPlaces } from '../core/job/index.ts';
import { type JobColours, measureJob } from '../core/measure/index.ts';
import type { Raster } from '../core/photo/types.ts';
import { readCard } from './read-card.ts';
import type { JobFile } from './read-job.ts';
import { readPhoto } from './read-photo.ts';

/** Photos of a job as read from their files, by id, each with its card where the job names one. */
export interface JobPhotos {
  readonly photos: ReadonlyMap<string, { readonly raster: Raster; readonly card?: CardDefinition }>;
  readonly warnings: readonly Warning[];
}

/** Receives a line of progress. */
export type Tell = (line: string) => void;

/** Opens the photos that panels or the target have a place in, and leaves the others alone. Throws what reading throws. */
export async function readJobPhotos(
  { job, photoPaths, cardPaths, contents, warnings: read }: JobFile,
  tell: Tell = () => {},
): Promise<JobPhotos> {
  const needed = [...photosWithPlaces(job)];
  const photos = new Map<string, { raster: Raster; card?: CardDefinition }>();
  const warnings: Warning[] = [...read];
  for (const [i, id] of needed.entries()) {
    const path = photoPaths.get(id) as string;
    tell(`reading ${basename(path)} (${i + 1} of ${needed.length})`);
    const cardPath = cardPaths.get(id);
    const card = cardPath === undefined ? undefined : await jobCard(cardPath, contents);
    const photo = await readPhoto(contents?.get(path) ?? path, basename(path));
    warnings.push(...photo.warnings);
    photos.set(id, { raster: photo.raster, ...(card && { card }) });
  }
  return { photos, warnings };
}

async function jobCard(path: string, contents: JobFile['contents']): Promise<CardDefinition> {
  const bytes = contents?.get(path);
  return bytes ? parseCard(parseJson(new TextDecoder().decode(bytes), path), path) : readCard(path);
}

/** The colours of everything a job has measured. Throws what reading and measuring throw. */
export async function measureJobFile(jobFile: JobFile, tell: Tell = () => {}): Promise<JobColours> {
  const { photos, warnings } = await readJobPhotos(jobFile, tell);
  if (photos.size > 0) tell('measuring');
  const colours = measureJob(jobFile.job, photos);
  return { ...colours, warnings: [...warnings, ...colours.warnings] };
}
