import { readFile, stat } from 'node:fs/promises';
import { SprayoutError } from '../core/errors.ts';
import { fileError } from './file-error.ts';

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

/** Files of text that a painter names are a few kB, readings of a card some ten; one of this size is something else. */
const SMALL_BYTES = 16 * 1024 * 1024;

/**
 * The bytes of a file of text. `holds` says what it should be ("the readings of a card"), `hint` what to name instead.
 * Throws `file-not-found`, `file-unreadable` or `file-too-large`.
 */
export async function readSmallFile(path: string, holds: string, hint: string): Promise<Buffer> {
  try {
    return await readPlainFile(
      path,
      SMALL_BYTES,
      (size) =>
        new SprayoutError(
          'file-too-large',
          `${path} is ${Math.round(size / 1e6)} MB, far more than ${holds}.`,
          hint,
        ),
    );
  } catch (error) {
    throw fileError(error, path) ?? error;
  }
}
