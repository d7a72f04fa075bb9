import { basename } from 'node:path';
import { SprayoutError } from '../core/errors.ts';
import { BUNDLE_LIMITS, type PackedBundle, type PackOptions, packBundle } from '../core/job/bundle/index.ts';
import { photosWithPlaces } from '../core/job/index.ts';
import { fileError } from './file-error.ts';
import { readPlainFile } from './plain-file.ts';
import type { JobFile } from './read-job.ts';
import { writeWholeFile } from './write-file.ts';

/**
 * Packs a job with its photos and card files and writes the bundle, whole or not at all. Throws what reading files and
 * `packBundle` throw, and `output-unwritable`.
 */
export async function writeBundle(
  jobFile: JobFile,
  out: string,
  options: Omit<PackOptions, 'jobFileName'>,
): Promise<PackedBundle> {
  const bundle = packBundle(jobFile.document, await readFiles(jobFile), {
    ...options,
    jobFileName: jobFile.name,
  });
  await writeWholeFile(out, bundle.bytes);
  return bundle;
}

/** Photos and cards by the paths that the job gives them; those that nothing is measured in may be missing. */
async function readFiles(jobFile: JobFile): Promise<ReadonlyMap<string, Uint8Array>> {
  const { job, photoPaths, cardPaths } = jobFile;
  const needed = photosWithPlaces(job);
  const files = new Map<string, Uint8Array>();
  let total = 0;
  for (const { id, file, card } of job.photos)
    for (const [written, path] of [
      [file, photoPaths.get(id)],
      [card, cardPaths.get(id)],
    ]) {
      if (written === undefined || path === undefined || files.has(written)) continue;
      const bytes = jobFile.contents ? jobFile.contents.get(path) : await readIfThere(path, needed.has(id));
      if (!bytes) continue;
      total += bytes.length;
      if (total > BUNDLE_LIMITS.total_bytes) throw tooMuch(total);
      files.set(written, bytes);
    }
  return files;
}

async function readIfThere(path: string, isNeeded: boolean): Promise<Uint8Array | undefined> {
  try {
    return await readPlainFile(path, BUNDLE_LIMITS.file_bytes, (size) => tooMuch(size, path));
  } catch (error) {
    const refusal = fileError(error, path);
    if (refusal?.code === 'file-not-found' && !isNeeded) return undefined;
    throw refusal ?? error;
  }
}

function tooMuch(size: number, path?: string): SprayoutError {
  return new SprayoutError(
    'file-too-large',
    path === undefined
      ? `The job's photos have more than ${BUNDLE_LIMITS.total_bytes / 1e6} MB, the most that a bundle holds.`
      : `${basename(path)} has ${Math.round(size / 1e6)} MB; a bundle holds files of ${BUNDLE_LIMITS.file_bytes / 1e6} MB at the most.`,
    'Split the job, or export its photos smaller.',
  );
}
