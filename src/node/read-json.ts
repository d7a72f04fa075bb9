import { SprayoutError } from '../core/errors.ts';
import { parseJson } from '../core/job/json-text.ts';
import { fileError } from './file-error.ts';
import { readPlainFile } from './plain-file.ts';

/** Cards, jobs and panel files are a few kB; one of this size is something else. */
const LIMIT_BYTES = 16 * 1024 * 1024;

/**
 * The JSON document in a file. Throws `file-not-found`, `file-unreadable`, `file-empty`, `file-too-large` or
 * `json-broken`; the contents are for a schema to judge.
 */
export async function readJson(path: string): Promise<unknown> {
  return parseJson(await readText(path), path);
}

async function readText(path: string): Promise<string> {
  try {
    const bytes = await readPlainFile(
      path,
      LIMIT_BYTES,
      (size) =>
        new SprayoutError(
          'file-too-large',
          `${path} is ${Math.round(size / 1e6)} MB, far more than a card, job or panel file holds.`,
          'Name the .json file, not a photo.',
        ),
    );
    const text = bytes.toString('utf8');
    if (text.trim() === '')
      throw new SprayoutError('file-empty', `${path} is empty.`, 'Save it again, or name another file.');
    return text;
  } catch (error) {
    throw fileError(error, path) ?? error;
  }
}
