import { SprayoutError } from '../core/errors.ts';
import { parseJson } from '../core/job/json-text.ts';
import { readSmallFile } from './plain-file.ts';

/**
 * The JSON document in a file. Throws `file-not-found`, `file-unreadable`, `file-empty`, `file-too-large` or
 * `json-broken`; the contents are for a schema to judge.
 */
export async function readJson(path: string): Promise<unknown> {
  const bytes = await readSmallFile(
    path,
    'a card, job or panel file holds',
    'Name the .json file, not a photo.',
  );
  const text = bytes.toString('utf8');
  if (text.trim() === '')
    throw new SprayoutError('file-empty', `${path} is empty.`, 'Save it again, or name another file.');
  return parseJson(text, path);
}
