import { readSmallFile } from './plain-file.ts';

/**
 * The text of an instrument's file: UTF-8, UTF-16 with a byte order mark, or else Latin-1. Throws `file-not-found`,
 * `file-unreadable` or `file-too-large`.
 */
export async function readReadings(path: string): Promise<string> {
  return textOf(
    await readSmallFile(
      path,
      'the readings of a card',
      'Name the file that the instrument’s program exported.',
    ),
  );
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
