import { rename, rm, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { outputError } from './file-error.ts';

/**
 * Writes several files, all of them or none: each whole under a temporary name first, then all renamed. Returns their
 * paths. Throws `output-unwritable`.
 */
export async function writeWholeFiles(
  files: readonly (readonly [path: string, content: string | Uint8Array])[],
): Promise<string[]> {
  const temporary = (path: string): string => join(dirname(path), `.${basename(path)}.${process.pid}.tmp`);
  const done: string[] = [];
  let at = files[0]?.[0] ?? '';
  try {
    for (const [path, content] of files) {
      at = path;
      await writeFile(temporary(path), content);
    }
    for (const [path] of files) {
      at = path;
      await rename(temporary(path), path);
      done.push(path);
    }
    return done;
  } catch (error) {
    for (const [path] of files) await rm(temporary(path), { force: true }).catch(() => {});
    for (const path of done) await rm(path, { force: true }).catch(() => {});
    throw outputError(error, at);
  }
}
