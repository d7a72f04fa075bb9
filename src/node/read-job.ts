import { realpath } from 'node:fs/promises';
import { basename, dirname, isAbsolute, join, relative, resolve, sep } from 'node:path';
import type { Job } from '../../shared/schemas/job.ts';
import { SprayoutError, type Warning } from '../core/errors.ts';
import { parseJob } from '../core/job/index.ts';
import { isBundle, readBundle } from './read-bundle.ts';
import { readJson } from './read-json.ts';

/** A job with its files' places: absolute paths of photos and card files, by photo id. */
export interface JobFile {
  readonly job: Job;
  /** The JSON document that the job was read from, also with fields that this version does not know. */
  readonly document: unknown;
  /** The job file's own name. */
  readonly name: string;
  readonly folder: string;
  readonly photoPaths: ReadonlyMap<string, string>;
  readonly cardPaths: ReadonlyMap<string, string>;
  /** For a job out of a bundle the contents of its files, in memory, by the paths above; nothing has these on disk. */
  readonly contents?: ReadonlyMap<string, Uint8Array>;
  /** What reading had to say. */
  readonly warnings: readonly Warning[];
}

export interface ReadJobOptions {
  /** Lets photos and cards lie outside the job's folder. */
  readonly allowOutside?: boolean | undefined;
}

/**
 * Reads a job file and resolves the paths in it, or reads a job bundle with everything in it. Throws what `readJson` and
 * `parseJob` throw, and `job-path-outside` for a path that leaves the job's folder, also by a link; for a bundle what
 * `readBundle` throws. Files beside a job file need not exist yet: who opens one says so.
 */
export async function readJob(path: string, { allowOutside = false }: ReadJobOptions = {}): Promise<JobFile> {
  if (await isBundle(path)) return jobInBundle(path);
  const document = await readJson(path);
  const job = parseJob(document, path);
  const folder = dirname(resolve(path));
  const place = (written: string): Promise<string> =>
    allowOutside ? Promise.resolve(resolve(folder, written)) : pathInside(folder, written, path);
  const photoPaths = new Map<string, string>();
  const cardPaths = new Map<string, string>();
  for (const { id, file, card } of job.photos) {
    photoPaths.set(id, await place(file));
    if (card !== undefined) cardPaths.set(id, await place(card));
  }
  return { job, document, name: basename(path), folder, photoPaths, cardPaths, warnings: [] };
}

async function jobInBundle(path: string): Promise<JobFile> {
  const { job, document, files, list, warnings } = await readBundle(path);
  const place = (file: string): string => join(resolve(path), file);
  return {
    job,
    document,
    name: list.job_file,
    folder: dirname(resolve(path)),
    photoPaths: new Map(job.photos.map(({ id, file }) => [id, place(file)])),
    cardPaths: new Map(job.photos.flatMap(({ id, card }) => (card === undefined ? [] : [[id, place(card)]]))),
    contents: new Map([...files].map(([file, bytes]) => [place(file), bytes])),
    warnings,
  };
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
