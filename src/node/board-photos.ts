import type { PicturedJobPhoto } from '../core/board/index.ts';
import type { Warning } from '../core/errors.ts';
import { readWholePhoto } from '../core/measure/index.ts';
import { readJobPhotos, type Tell } from './measure-job-file.ts';
import type { JobFile } from './read-job.ts';

/**
 * A job's photos with what was read in them, the pixels kept for the panels' pictures. Throws what opening and reading
 * throw, also for a place that can't be read.
 */
export async function readPicturedPhotos(
  jobFile: JobFile,
  tell: Tell = () => {},
): Promise<{
  readonly photos: ReadonlyMap<string, PicturedJobPhoto>;
  readonly warnings: readonly Warning[];
}> {
  const { photos: opened, warnings } = await readJobPhotos(jobFile, tell);
  const photos = new Map<string, PicturedJobPhoto>();
  for (const photo of jobFile.job.photos) {
    const taken = opened.get(photo.id);
    if (!taken || photo.view === 'flop') continue;
    tell(`measuring ${photo.id} (${photos.size + 1} of ${opened.size})`);
    const read = readWholePhoto(jobFile.job, photo, taken);
    photos.set(photo.id, { raster: taken.raster, read });
  }
  return { photos, warnings };
}
