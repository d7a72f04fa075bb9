import { mkdir, mkdtemp, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SprayoutError } from '../../src/core/errors.ts';
import { readJob } from '../../src/node/read-job.ts';
import { soundJob } from './sample-job.ts';

let folder: string;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'sprayout-job-'));
  await mkdir(join(folder, 'job/photos'), { recursive: true });
  await mkdir(join(folder, 'elsewhere'));
  await writeFile(join(folder, 'elsewhere/sun.jpg'), 'x');
  await symlink(join(folder, 'elsewhere'), join(folder, 'job/link'));
});
afterAll(() => rm(folder, { recursive: true }));

async function read(file: string, allowOutside = false, card?: string) {
  const job = soundJob();
  job.photos[0] = { ...job.photos[0], file, ...(card === undefined ? {} : { card }) };
  const path = join(folder, 'job/lid.job.json');
  await writeFile(path, JSON.stringify(job));
  return readJob(path, { allowOutside });
}

async function code(reading: Promise<unknown>): Promise<string> {
  try {
    await reading;
  } catch (error) {
    if (error instanceof SprayoutError) return error.code;
    throw error;
  }
  return 'none';
}

describe('a job file', () => {
  it('names its photos from its own folder', async () => {
    const { photoPaths } = await read('photos/sun.jpg');
    expect(photoPaths.get('f1')).toBe(join(folder, 'job/photos/sun.jpg'));
  });

  it.each(['../elsewhere/sun.jpg', '/etc/hostname', 'link/sun.jpg', 'photos/../../elsewhere/sun.jpg', '..'])(
    'that leads out of its folder by %s is refused unless asked for',
    async (file) => {
      expect(await code(read(file))).toBe('job-path-outside');
      expect(await code(read(file, true))).toBe('none');
    },
  );

  it('may not fetch a card from outside either', async () => {
    expect(await code(read('photos/sun.jpg', false, '../elsewhere/my.card.json'))).toBe('job-path-outside');
  });

  it('may use names that only look like going up', async () => {
    expect(await code(read('..photos/sun.jpg'))).toBe('none');
    expect(await code(read('photos/../photos/sun.jpg'))).toBe('none');
  });

  it('that is missing, empty, a folder or broken is refused by its own code', async () => {
    expect(await code(readJob(join(folder, 'no.job.json')))).toBe('file-not-found');
    expect(await code(readJob(join(folder, 'job')))).toBe('file-unreadable');
    await writeFile(join(folder, 'empty.json'), ' \n');
    expect(await code(readJob(join(folder, 'empty.json')))).toBe('file-empty');
    await writeFile(join(folder, 'broken.json'), '{"format": ');
    expect(await code(readJob(join(folder, 'broken.json')))).toBe('json-broken');
  });
});
