import { realpath } from 'node:fs/promises';
import { dirname, isAbsolute, relative, resolve, sep } from 'node:path';
import type { Job } from '../../shared/schemas/job.ts';
import { SprayoutError } from '../core/errors.ts';
import { parseJob } from '../core/job/index.ts';
import { readJson } from './read-json.ts';

/** A job with its files' places: absolute paths of photos and card files, by photo id. */
export interface JobFile {
  readonly job: Job;
  readonly folder: string;
  readonly photoPaths: ReadonlyMap<string, string>;
  readonly cardPaths: ReadonlyMap<string, string>;
}

export interface ReadJobOptions {
  /** Lets photos and cards lie outside the job's folder. */
  readonly allowOutside?: boolean | undefined;
}

/**
 * Reads a job file and resolves the paths in it. Throws what `readJson` and `parseJob` throw, and `job-path-outside`
 * for a path that leaves the job's folder, also by a link. Files need not exist yet: who opens one says so.
 */
export async function readJob(path: string, { allowOutside = false }: ReadJobOptions = {}): Promise<JobFile> {
  const job = parseJob(await readJson(path), path);
  const folder = dirname(resolve(path));
  const place = (written: string): Promise<string> =>
    allowOutside ? Promise.resolve(resolve(folder, written)) : pathInside(folder, written, path);
  const photoPaths = new Map<string, string>();
  const cardPaths = new Map<string, string>();
  for (const { id, file, card } of job.photos) {
    photoPaths.set(id, await place(file));
    if (card !== undefined) cardPaths.set(id, await place(card));
  }
  return { job, folder, photoPaths, cardPaths };
}

async function pathInside(folder: string, written: string, jobPath: string): Promise<string> {
  const path = resolve(folder, written);
  if (!isInside(folder, path) || !isInside(await realpath(folder), await realPathSoFar(path)))
    throw new SprayoutError(
      'job-path-outside',
      `Job ${jobPath}: ${JSON.stringify(written)} leads out of the job's folder.`,
      'Put the file beside the job, or call again with --allow-outside if you trust this job.',
    );
  return path;
}

function isInside(folder: string, path: string): boolean {
  const way = relative(folder, path);
  return way !== '..' && !way.startsWith(`..${sep}`) && !isAbsolute(way);
}

/** The path with links followed as far as it exists. */
async function realPathSoFar(path: string): Promise<string> {
  try {
    return await realpath(path);
  } catch {
    const parent = dirname(path);
    return parent === path ? path : resolve(await realPathSoFar(parent), relative(parent, path));
  }
}
