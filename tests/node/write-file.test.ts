import { existsSync } from 'node:fs';
import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { SprayoutError } from '../../src/core/errors.ts';
import { makeFolder, writeWholeFile } from '../../src/node/write-file.ts';

let folder: string;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'sprayout-write-'));
});
afterEach(() => rm(folder, { recursive: true }));

async function refusal(writing: Promise<unknown>): Promise<SprayoutError> {
  const error = await writing.then(
    () => undefined,
    (thrown: unknown) => thrown,
  );
  expect(error).toBeInstanceOf(SprayoutError);
  return error as SprayoutError;
}

describe('an output', () => {
  it('is written whole, and replaces an older one', async () => {
    const path = join(folder, 'board.pdf');
    await writeWholeFile(path, 'old');
    await writeWholeFile(path, Uint8Array.of(1, 2, 3));
    expect([...(await readFile(path))]).toEqual([1, 2, 3]);
    expect(await readdir(folder)).toEqual(['board.pdf']);
  });

  it('that cannot be written is refused, and leaves nothing behind', async () => {
    await mkdir(join(folder, 'taken'));
    await writeFile(join(folder, 'taken/inside'), '');
    await writeFile(join(folder, 'file'), '');
    for (const path of ['taken', 'no/such/folder/a.pdf', 'file/a.pdf', `${'x'.repeat(300)}.pdf`]) {
      const { code, message } = await refusal(writeWholeFile(join(folder, path), 'x'));
      expect(code).toBe('output-unwritable');
      expect(message).toContain(path.slice(0, 20));
    }
    expect((await readdir(folder)).sort()).toEqual(['file', 'taken']);
  });

  it('folder is made with its parents, and refused where a file stands', async () => {
    await makeFolder(join(folder, 'a/b/c'));
    await writeFile(join(folder, 'file'), '');
    expect((await refusal(makeFolder(join(folder, 'file/b')))).code).toBe('output-unwritable');
    await makeFolder(join(folder, 'a/b/../d'));
    await makeFolder(folder);
    expect((await readdir(join(folder, 'a'))).sort()).toEqual(['b', 'd']);
  });

  it.runIf(existsSync('/proc/self'))(
    'folder is refused where a system makes none, and does not hang',
    async () => {
      for (const path of ['/proc/zz', '/proc/zz/deeper'])
        expect((await refusal(makeFolder(path))).code).toBe('output-unwritable');
    },
  );
});
