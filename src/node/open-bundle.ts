import { mkdir, mkdtemp, rename, rm, stat, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { SprayoutError } from '../core/errors.ts';
import type { UnpackedBundle } from '../core/job/bundle/index.ts';
import { outputError } from './file-error.ts';

/**
 * Unpacks a bundle into a new folder, whole or not at all: into a temporary folder beside it, then renamed. Returns the
 * paths written, the job's first. Throws `output-unwritable`, also when something has that name already.
 */
export async function openBundle(
  { list, document, files }: UnpackedBundle,
  folder: string,
): Promise<readonly string[]> {
  if (await exists(folder))
    throw new SprayoutError(
      'output-unwritable',
      `${folder} already exists; nothing is overwritten.`,
      'Name a new folder with --open.',
    );
  const jobName = jobNameBeside(list.job_file, [...files.keys()]);
  let temporary: string | undefined;
  try {
    temporary = await mkdtemp(join(dirname(folder), `.${basename(folder)}-`));
    for (const [path, bytes] of files) {
      const place = join(temporary, ...path.split('/'));
      await mkdir(dirname(place), { recursive: true });
      await writeFile(place, bytes, { flag: 'wx' });
    }
    await writeFile(join(temporary, jobName), `${JSON.stringify(document, null, 2)}\n`, { flag: 'wx' });
    await rename(temporary, folder);
  } catch (error) {
    if (temporary !== undefined) await rm(temporary, { recursive: true, force: true }).catch(() => {});
    throw outputError(error, folder);
  }
  return [jobName, ...files.keys()].map((path) => join(folder, ...path.split('/')));
}

/** The job's own name, or another where a file or folder of the bundle has it. */
function jobNameBeside(name: string, paths: readonly string[]): string {
  const taken = new Set(paths.map((path) => path.split('/')[0].normalize('NFC').toLowerCase()));
  return taken.has(name.normalize('NFC').toLowerCase()) ? `_${name}` : name;
}

async function exists(path: string): Promise<boolean> {
  try {
    await stat(path);
    return true;
  } catch {
    return false;
  }
}
