import { appendFile, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { watchPhotos } from '../../src/node/watch-photos.ts';

const wait = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

describe('a watched folder', () => {
  it('gives each new photo once, when it is complete, and leaves old ones and other files alone', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'watched-'));
    await writeFile(join(folder, 'old.jpg'), 'old');
    const stop = new AbortController();
    const came: string[] = [];
    const watching = watchPhotos(
      folder,
      async (path) => {
        came.push(basename(path));
      },
      { settle_ms: 60, signal: stop.signal },
    );
    await wait(150);
    await writeFile(join(folder, 'a.JPG'), 'first half');
    await writeFile(join(folder, 'notes.txt'), 'no photo');
    await appendFile(join(folder, 'a.JPG'), ' and second half');
    for (let i = 0; i < 100 && came.length < 1; i++) await wait(50);
    await writeFile(join(folder, 'b.heic'), 'another');
    for (let i = 0; i < 100 && came.length < 2; i++) await wait(50);
    stop.abort();
    await watching;
    expect(came).toEqual(['a.JPG', 'b.heic']);
  }, 20_000);

  it('that is taken away is missed, and the watching ends', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'watched-'));
    const watching = watchPhotos(folder, async () => {}, { settle_ms: 60 });
    const ended = expect(watching).rejects.toMatchObject({
      code: 'file-not-found',
      message: expect.stringMatching(/is gone/),
    });
    await wait(150);
    await rm(folder, { recursive: true });
    await ended;
  }, 20_000);

  it('may hold pictures made of its photos, which are not taken for photos', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'watched-'));
    const stop = new AbortController();
    const came: string[] = [];
    const drawn = new Set<string>();
    const watching = watchPhotos(
      folder,
      async (path) => {
        came.push(basename(path));
        drawn.add(`${path}-measured.jpg`);
        await writeFile(`${path}-measured.jpg`, 'a picture');
      },
      { settle_ms: 60, signal: stop.signal, isOurs: (path) => drawn.has(path) },
    );
    await wait(150);
    await writeFile(join(folder, 'a.jpg'), 'a photo');
    for (let i = 0; i < 100 && came.length < 1; i++) await wait(50);
    await wait(400);
    stop.abort();
    await watching;
    expect(came).toEqual(['a.jpg']);
  }, 20_000);

  it('that is a file is called one', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'watched-'));
    await writeFile(join(folder, 'sun.jpg'), 'a photo');
    await expect(watchPhotos(join(folder, 'sun.jpg'), async () => {})).rejects.toMatchObject({
      code: 'file-unreadable',
      message: expect.stringMatching(/is a file, not a folder/),
    });
  });

  it('that is not there is refused', async () => {
    await expect(watchPhotos(join(tmpdir(), 'no-such-folder'), async () => {})).rejects.toMatchObject({
      code: 'file-not-found',
    });
  });
});
