import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { comparePanels } from '../../src/core/compare/index.ts';
import type { ErrorCode } from '../../src/core/errors.ts';
import { packBundle } from '../../src/core/job/bundle/index.ts';
import { measureJobFile } from '../../src/node/measure-job-file.ts';
import { openBundle } from '../../src/node/open-bundle.ts';
import { packageRoot } from '../../src/node/package-root.ts';
import { isBundle, readBundle } from '../../src/node/read-bundle.ts';
import { readJob } from '../../src/node/read-job.ts';
import { writeBundle } from '../../src/node/write-bundle.ts';
import { bundleParts, PHOTO } from '../job/bundled-job.ts';
import { writeDemoOfOnePhoto } from '../job/one-photo.ts';
import { soundJob } from '../job/sample-job.ts';
import { zipOf } from '../job/zip-files.ts';

const DEMO = join(packageRoot(), 'samples/demo');

let folder: string;
let demo: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'sprayout-bundle-'));
  demo = join(folder, 'demo.zip');
  await writeBundle(await readJob(join(DEMO, 'kettle-lid.job.json')), demo, { version: '0.1.0' });
});
afterAll(() => rm(folder, { recursive: true }));

async function written(name: string, content: Uint8Array | string): Promise<string> {
  const path = join(folder, name);
  await writeFile(path, content);
  return path;
}

async function expectRefused(work: Promise<unknown>, code: ErrorCode): Promise<void> {
  await expect(work).rejects.toMatchObject({ name: 'SprayoutError', code });
}

describe('the demo job in a bundle', () => {
  it('gives the same colours and differences as in its folder, digit for digit, and writes nothing to disk', async () => {
    const lid = await writeDemoOfOnePhoto(join(folder, 'lid'), 'sun-2');
    const packed = join(folder, 'lid.zip');
    await writeBundle(await readJob(lid), packed, { version: '0.1.0' });
    const before = await readdir(folder);
    const [inFolder, inBundle] = [await readJob(lid), await readJob(packed)];
    const [a, b] = [await measureJobFile(inFolder), await measureJobFile(inBundle)];
    expect(b).toEqual(a);
    expect(await readdir(folder)).toEqual(before);
    expect(comparePanels(b.colours, { targetId: 'target' })).toEqual(
      comparePanels(a.colours, { targetId: 'target' }),
    );
  });

  it('is the same job again when it is opened, and the same bundle when it is packed again', async () => {
    const [job, ...files] = await openBundle(await readBundle(demo), join(folder, 'opened'));
    expect(job).toBe(join(folder, 'opened', 'kettle-lid.job.json'));
    expect(files).toHaveLength(5);
    const sun = await readFile(join(folder, 'opened/photos/sun-1.jpg'));
    expect(sun.equals(await readFile(join(DEMO, 'sun-1.jpg')))).toBe(true);
    const again = join(folder, 'again.zip');
    await writeBundle(await readJob(job), again, { version: '0.1.0' });
    expect((await readFile(again)).equals(await readFile(demo))).toBe(true);
    const fromBundle = join(folder, 'from-bundle.zip');
    await writeBundle(await readJob(demo), fromBundle, { version: '0.1.0' });
    expect((await readFile(fromBundle)).equals(await readFile(demo))).toBe(true);
  });
});

describe('reading a bundle', () => {
  it('knows one by its bytes, whatever its name', async () => {
    const path = await written('kettle lid', zipOf(bundleParts()));
    expect(await isBundle(path)).toBe(true);
    expect((await readJob(path)).job.name).toBe('kettle lid');
    expect(await isBundle(join(DEMO, 'kettle-lid.job.json'))).toBe(false);
  });

  it('refuses a missing, empty or wrong file by its own code', async () => {
    await expectRefused(readJob(join(folder, 'none.zip')), 'file-not-found');
    await expectRefused(readJob(await written('empty.zip', '')), 'file-empty');
    await expectRefused(readJob(await written('job.zip', JSON.stringify(soundJob()))), 'bundle-invalid');
    await mkdir(join(folder, 'folder.zip'));
    await expectRefused(readJob(join(folder, 'folder.zip')), 'file-unreadable');
  });

  it('never looks on the disk for what a bundle lacks', async () => {
    const job = soundJob();
    job.photos.push({ ...job.photos[0], id: 'f2', file: 'flop.jpg' });
    await written('flop.jpg', PHOTO);
    const jobFile = await readJob(await written('lacks.zip', zipOf(bundleParts(job))));
    expect(jobFile.photoPaths.get('f2')).toBe(join(folder, 'lacks.zip', 'flop.jpg'));
    expect(jobFile.warnings.map((w) => w.code)).toEqual(['bundle-file-missing']);
  });
});

describe('opening a bundle', () => {
  const bundle = () => readBundle(demo);

  it('overwrites nothing, not even an empty folder', async () => {
    await mkdir(join(folder, 'there'));
    await expectRefused(openBundle(await bundle(), join(folder, 'there')), 'output-unwritable');
    expect(await readdir(join(folder, 'there'))).toEqual([]);
    const file = await written('a file', 'mine');
    await expectRefused(openBundle(await bundle(), file), 'output-unwritable');
    expect(await readFile(file, 'utf8')).toBe('mine');
  });

  it('leaves nothing half-written when it fails', async () => {
    const sound = await bundle();
    // two names for one place: the second file cannot be written
    const files = new Map([...sound.files, ['photos/sun-1.jpg/inside.jpg', PHOTO]]);
    const before = await readdir(folder);
    await expectRefused(openBundle({ ...sound, files }, join(folder, 'half')), 'output-unwritable');
    expect(await readdir(folder)).toEqual(before);
    await expectRefused(openBundle(sound, join(folder, 'no such', 'half')), 'output-unwritable');
  });

  it('keeps a job apart from a folder of its name', async () => {
    const { bytes } = packBundle(soundJob(), new Map([['photos/sun.jpg', PHOTO]]), {
      version: '1',
      jobFileName: 'Photos',
      keepMetadata: true,
    });
    const [job] = await openBundle(
      await readBundle(await written('named.zip', bytes)),
      join(folder, 'named'),
    );
    expect(job).toBe(join(folder, 'named', '_Photos'));
    expect((await readJob(job)).job.name).toBe('kettle lid');
  });
});
