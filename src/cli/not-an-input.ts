import { realpath } from 'node:fs/promises';
import { resolve } from 'node:path';
import { SprayoutError } from '../core/errors.ts';
import type { JobFile } from '../node/read-job.ts';

/** Throws `output-unwritable` when an output would be written over the job, one of its photos or one of its cards. */
export async function checkNotAnInput(
  out: string,
  job: string,
  { photoPaths, cardPaths }: JobFile,
): Promise<void> {
  const inputs = await Promise.all([job, ...photoPaths.values(), ...cardPaths.values()].map(truePath));
  if (inputs.includes(await truePath(out)))
    throw new SprayoutError(
      'output-unwritable',
      `${out} is the job itself or a file of it, and would be lost.`,
      'Give --out another name.',
    );
}

const truePath = (path: string): Promise<string> => realpath(path).catch(() => resolve(path));
