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
  if (await isAmong(out, [job, ...photoPaths.values(), ...cardPaths.values()]))
    throw new SprayoutError(
      'output-unwritable',
      `${out} is the job itself or a file of it, and would be lost.`,
      'Give --out another name.',
    );
}

/** Throws `output-unwritable` when a picture would be written over a photo or file that is read. */
export async function checkPictureNotAnInput(
  picture: string | undefined,
  inputs: readonly string[],
): Promise<void> {
  if (picture !== undefined && (await isAmong(picture, inputs)))
    throw new SprayoutError(
      'output-unwritable',
      `${picture} is itself to be measured or read, and would be lost.`,
      'Give --pictures another folder.',
    );
}

/** Whether a path names one of some files, by whatever links. */
async function isAmong(path: string, files: readonly string[]): Promise<boolean> {
  return (await Promise.all(files.map(truePath))).includes(await truePath(path));
}

const truePath = (path: string): Promise<string> => realpath(path).catch(() => resolve(path));
