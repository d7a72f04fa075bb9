import { SprayoutError } from '../core/errors.ts';

/** A failed file access as a refusal, or undefined when `thrown` is something else. `path` overrides the system's. */
export function fileError(thrown: unknown, path?: string): SprayoutError | undefined {
  const { code, path: systemPath } = thrown as NodeJS.ErrnoException;
  if (!(thrown instanceof Error) || typeof code !== 'string') return undefined;
  const where = path ?? systemPath ?? 'the file';
  switch (code) {
    case 'ENOENT':
    case 'ENOTDIR':
    case 'ENAMETOOLONG':
    case 'ELOOP':
      return new SprayoutError(
        'file-not-found',
        `${where} does not exist.`,
        'Check the name and the folder.',
      );
    case 'EISDIR':
      return new SprayoutError('file-unreadable', `${where} is a folder.`, 'Name a file inside it.');
    case 'EACCES':
    case 'EPERM':
      return new SprayoutError('file-unreadable', `${where} may not be read.`, 'Check its permissions.');
    case 'ERR_INVALID_ARG_VALUE':
      return new SprayoutError(
        'file-not-found',
        'a file name holds a character that no file name can hold.',
        'Check the name.',
      );
    default:
      return /^E[A-Z]+$/.test(code)
        ? new SprayoutError(
            'file-unreadable',
            `${where} could not be read (${code}).`,
            'Check the disk and try again.',
          )
        : undefined;
  }
}

/** A failed writing as a refusal. */
export function outputError(thrown: unknown, path: string): SprayoutError {
  const { code } = thrown as NodeJS.ErrnoException;
  const why: Readonly<Record<string, string>> = {
    ENOENT: 'its folder does not exist',
    ENOTDIR: 'its folder does not exist',
    EACCES: 'the folder may not be written to',
    EPERM: 'the folder may not be written to',
    EROFS: 'the disk is read-only',
    ENOSPC: 'the disk is full',
    EISDIR: 'it is a folder',
    ENOTEMPTY: 'it is a folder',
    EEXIST: 'a file of that name is in its way',
    ENAMETOOLONG: 'its name is too long',
  };
  return new SprayoutError(
    'output-unwritable',
    `${path} could not be written: ${why[code ?? ''] ?? code ?? 'unknown reason'}.`,
    'Choose another place for it, or make the folder first.',
  );
}
