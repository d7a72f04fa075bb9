import { type Dirent, watch } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import { extname, join } from 'node:path';
import { SprayoutError } from '../core/errors.ts';
import { fileError } from './file-error.ts';

/** Endings of the photos that are looked at; what a file really is, its bytes tell later. */
const ENDINGS: ReadonlySet<string> = new Set(
  'jpg jpeg png tif tiff webp heic heif dng'.split(' ').map((e) => `.${e}`),
);

export interface WatchOptions {
  /** A file whose size has not changed for so long is taken to be complete. */
  readonly settle_ms?: number;
  readonly signal?: AbortSignal;
  /** Files that are no photos that came, but pictures that were made of them. */
  readonly isOurs?: (path: string) => boolean;
}

/**
 * Calls `onPhoto` with the path of every photo that comes into a folder, or changes there, once it has been written to
 * its end; one after the other, in the order in which they came. Photos that lie there already are left alone. Ends when
 * the signal says so. Throws `file-not-found`, `file-unreadable` for the folder, also when it is taken away meanwhile, and what
 * `onPhoto` throws.
 */
export async function watchPhotos(
  folder: string,
  onPhoto: (path: string) => Promise<void>,
  { settle_ms = 500, signal, isOurs = () => false }: WatchOptions = {},
): Promise<void> {
  const watched = await folderId(folder);
  if (watched === undefined)
    throw new SprayoutError(
      'file-unreadable',
      `${folder} is a file, not a folder.`,
      'Name the folder that the photos come into.',
    );
  const done = await marksIn(folder).catch((error: unknown) => {
    throw fileError(error, folder) ?? error;
  });
  const growing = new Map<string, string>();
  let timer: NodeJS.Timeout | undefined;
  let work = Promise.resolve();
  let fail = (_: unknown): void => {};
  const look = async (): Promise<void> => {
    // another folder of the same name is not the one that is watched
    if ((await folderId(folder).catch(() => undefined)) !== watched)
      throw new SprayoutError(
        'file-not-found',
        `${folder} is gone: it was moved or deleted while it was watched.`,
        'Start again with the folder that the photos come into now.',
      );
    for (const [path, mark] of await marksIn(folder).catch(() => new Map<string, string>())) {
      if (done.get(path) === mark || isOurs(path)) continue;
      if (growing.get(path) !== mark || mark.startsWith('0 ')) {
        growing.set(path, mark);
        later();
        continue;
      }
      growing.delete(path);
      done.set(path, mark);
      await onPhoto(path);
    }
  };
  const later = (): void => {
    clearTimeout(timer);
    timer = setTimeout(() => {
      work = work.then(look).catch((error: unknown) => fail(error));
    }, settle_ms);
  };
  const watcher = watch(folder, later);
  await new Promise<void>((resolve, reject) => {
    fail = (error) => reject(fileError(error, folder) ?? error);
    watcher.on('error', fail);
    if (signal?.aborted) resolve();
    signal?.addEventListener('abort', () => resolve());
  }).finally(() => {
    clearTimeout(timer);
    watcher.close();
  });
  await work;
}

/** What tells a folder from another of its name; undefined for what is no folder. Throws as `fileError` says. */
async function folderId(folder: string): Promise<string | undefined> {
  const found = await stat(folder).catch((error: unknown) => {
    throw fileError(error, folder) ?? error;
  });
  return found.isDirectory() ? `${found.dev} ${found.ino}` : undefined;
}

/** Size and time of change of each photo in a folder, by path. */
async function marksIn(folder: string): Promise<Map<string, string>> {
  const entries: Dirent[] = await readdir(folder, { withFileTypes: true });
  const marks = new Map<string, string>();
  for (const entry of entries) {
    if (!entry.isFile() || entry.name.startsWith('.') || !ENDINGS.has(extname(entry.name).toLowerCase()))
      continue;
    const path = join(folder, entry.name);
    const { size, mtimeMs } = await stat(path).catch(() => ({ size: 0, mtimeMs: 0 }));
    marks.set(path, `${size} ${mtimeMs}`);
  }
  return marks;
}
