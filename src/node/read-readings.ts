import { SprayoutError } from '../core/errors.ts';
import { fileError } from './file-error.ts';
import { readPlainFile } from './plain-file.ts';

/** An instrument's readings of a card are some ten kB. */
const LIMIT_BYTES = 16 * 1024 * 1024;

/**
 * The text of an instrument's file: UTF-8, UTF-16 with a byte order mark, or else Latin-1. Throws `file-not-found`,
 * `file-unreadable` or `file-too-large`.
 */
export async function readReadings(path: string): Promise<string> {
  try {
    const bytes = await readPlainFile(
      path,
      LIMIT_BYTES,
      (size) =>
        new SprayoutError(
          'file-too-large',
          `${path} is ${Math.round(size / 1e6)} MB, far more than the readings of a card.`,
          'Name the file that the instrument’s program exported.',
        ),
    );
    return textOf(bytes);
  } catch (error) {
    throw fileError(error, path) ?? error;
  }
}

function textOf(bytes: Uint8Array): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('latin1').decode(bytes);
  }
}
