import { readFile, stat } from 'node:fs/promises';
import { SprayoutError } from '../core/errors.ts';

/**
 * Size of a file that has an end. Throws `file-unreadable` for a folder, a device or a pipe, which may have none, and what
 * the system throws.
 */
export async function plainFileSize(path: string): Promise<number> {
  const found = await stat(path);
  if (found.isFile()) return found.size;
  throw new SprayoutError(
    'file-unreadable',
    found.isDirectory() ? `${path} is a folder.` : `${path} is a device or a pipe, not a file.`,
    found.isDirectory() ? 'Name a file inside it.' : 'Save it as a file first, and name that.',
  );
}

/** The bytes of such a file, when it has no more than a limit; `tooLarge` says so else. */
export async function readPlainFile(
  path: string,
  limit_bytes: number,
  tooLarge: (size: number) => SprayoutError,
): Promise<Buffer> {
  const size = await plainFileSize(path);
  if (size > limit_bytes) throw tooLarge(size);
  return readFile(path);
}
