import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bundleParts } from '../job/bundled-job.ts';
import { soundJob } from '../job/sample-job.ts';
import { zipOf } from '../job/zip-files.ts';
import { buildCommandLine, type CommandLine, PROJECT, refusalOf } from './command-line.ts';

const DEMO = join(PROJECT, 'samples/demo/kettle-lid.job.json');

let cli: CommandLine;
let folder: string;
let job: string;

beforeAll(async () => {
  cli = await buildCommandLine();
  folder = await mkdtemp(join(tmpdir(), 'sprayout-bundle-'));
  await mkdir(join(folder, 'job/photos'), { recursive: true });
  const photo = await sharp({ create: { width: 32, height: 24, channels: 3, background: '#733' } })
    .withExif({ IFD0: { Artist: 'SECRET' }, IFD3: { GPSLatitudeRef: 'N' } })
    .jpeg()
    .toBuffer();
  await writeFile(join(folder, 'job/photos/sun.jpg'), photo);
  job = join(folder, 'job/lid.job.json');
  await writeFile(job, JSON.stringify(soundJob()));
});
afterAll(async () => {
  await rm(folder, { recursive: true });
});

describe('sprayout bundle', () => {
  it('packs the demo job, and answers from the bundle as from the folder', async () => {
    const zip = join(folder, 'demo.zip');
    const packed = await cli.run(['bundle', DEMO, '--out', zip, '--json']);
    expect(packed.status).toBe(0);
    const answer = JSON.parse(packed.stdout);
    expect(answer).toMatchObject({ bundle: zip, metadata: 'cleaned', warnings: [] });
    expect(answer.bytes).toBe((await readFile(zip)).length);
    expect(answer.files.map((f: { path: string }) => f.path)).toEqual([
      'cards/bench-card.card.json',
      'job.json',
      'photos/shop-1.jpg',
      'photos/shop-2.jpg',
      'photos/sun-1.jpg',
      'photos/sun-2.jpg',
    ]);
    for (const command of ['compare', 'lights', 'advise']) {
      const [a, b] = [await cli.run([command, DEMO, '--json']), await cli.run([command, zip, '--json'])];
      expect(b.status).toBe(0);
      expect(b.stdout).toBe(a.stdout);
    }
  });

  it('takes place and owner out of photos unless asked to keep them, and says so', async () => {
    const [clean, kept] = [join(folder, 'clean.zip'), join(folder, 'kept.zip')];
    const words = await cli.run(['bundle', job, '--out', clean]);
    expect(words.stdout).toContain('1 photo,');
    expect(words.stdout).toContain('taken out');
    expect((await readFile(clean)).includes('SECRET')).toBe(false);
    const answer = await cli.run(['bundle', job, '--out', kept, '--keep-metadata', '--json']);
    expect(JSON.parse(answer.stdout).metadata).toBe('kept');
    expect((await readFile(kept)).includes('SECRET')).toBe(true);
  });

  it('unpacks into a new folder, and refuses one that is there', async () => {
    const zip = join(folder, 'to-open.zip');
    await cli.run(['bundle', job, '--out', zip]);
    const out = join(folder, 'opened');
    const opened = await cli.run(['bundle', zip, '--open', out, '--json']);
    expect(JSON.parse(opened.stdout)).toMatchObject({
      folder: out,
      job: join(out, 'lid.job.json'),
      files: [join(out, 'photos/sun.jpg')],
    });
    expect((await readdir(out)).sort()).toEqual(['lid.job.json', 'photos']);
    const again = await cli.run(['bundle', zip, '--open', out, '--json']);
    expect(again.status).toBe(2);
    expect(refusalOf(again).code).toBe('output-unwritable');
  });

  it('names the damaged file, and opens the rest only when asked', async () => {
    const zip = join(folder, 'damaged.zip');
    const parts = bundleParts().map((p) =>
      p.name === 'photos/sun.jpg' ? { ...p, content: 'something else' } : p,
    );
    await writeFile(zip, zipOf(parts));
    const refused = await cli.run(['compare', zip, '--json']);
    expect(refused.status).toBe(2);
    expect(refusalOf(refused)).toMatchObject({ code: 'bundle-damaged' });
    expect(refusalOf(refused).message).toContain('photos/sun.jpg');
    const opened = await cli.run(['bundle', zip, '--open', join(folder, 'rest'), '--allow-damaged']);
    expect(opened.status).toBe(0);
    expect(opened.stderr).toContain('warning: ');
    expect(await readdir(join(folder, 'rest'))).toEqual(['lid.job.json']);
  });

  it('writes nothing when the job or a photo is wrong, or the call is', async () => {
    const out = join(folder, 'never.zip');
    const lost = join(folder, 'lost.job.json');
    await writeFile(lost, JSON.stringify(soundJob()));
    const missing = await cli.run(['bundle', lost, '--out', out, '--json']);
    expect(missing.status).toBe(2);
    expect(refusalOf(missing).code).toBe('file-not-found');
    for (const call of [
      ['bundle', job],
      ['bundle', job, '--out', out, '--open', out],
      ['bundle', job, '--open', out],
    ])
      expect(refusalOf(await cli.run([...call, '--json'])).code).toBe('usage');
    expect(await readdir(folder)).not.toContain('never.zip');
  });
});
