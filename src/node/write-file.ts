import { mkdir, rename, rm, stat, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { outputError } from './file-error.ts';

/** Writes a whole file or nothing: under a temporary name beside it, then renamed. Throws `output-unwritable`. */
export async function writeWholeFile(path: string, content: string | Uint8Array): Promise<void> {
  const temporary = join(dirname(path), `.${basename(path)}.${process.pid}.tmp`);
  try {
    await writeFile(temporary, content);
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true }).catch(() => {});
    throw outputError(error, path);
  }
}

/** Makes a folder for outputs, its parents too. Throws `output-unwritable`. */
export async function makeFolder(path: string): Promise<void> {
  try {
    await makeWithParents(path);
  } catch (error) {
    throw outputError(error, path);
  }
}

/** Node's own recursive `mkdir` never returns where a folder exists in which none can be made, such as /proc. */
async function makeWithParents(path: string, parentsAreMade = false): Promise<void> {
  try {
    await mkdir(path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const parent = dirname(path);
    if (code === 'ENOENT' && !parentsAreMade && parent !== path) {
      await makeWithParents(parent);
      return makeWithParents(path, true);
    }
    if (!(await isFolder(path))) throw error;
  }
}

const isFolder = (path: string): Promise<boolean> =>
  stat(path).then(
    (found) => found.isDirectory(),
    () => false,
  );
