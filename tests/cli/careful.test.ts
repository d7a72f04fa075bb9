import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { soundJob } from '../job/sample-job.ts';
import { buildCommandLine, type CommandLine, PROJECT, refusalOf } from './command-line.ts';
import { refused } from './refused.ts';

let cli: CommandLine;
let folder: string;
let job: string;

beforeAll(async () => {
  cli = await buildCommandLine();
  folder = await mkdtemp(join(tmpdir(), 'sprayout-careful-'));
  job = join(folder, 'lid.job.json');
  await writeFile(job, JSON.stringify(soundJob()));
  await writeFile(join(folder, 'sun.jpg'), 'a photo');
});
afterAll(async () => {
  await rm(folder, { recursive: true });
});

describe('outputs', () => {
  it.each([
    ['readings', 'lid.job.json', 'output-unwritable'],
    ['bundle', 'sun.jpg', 'usage'],
    ['bundle', 'lid.job.json', 'usage'],
  ])('%s is not written over %s', async (command, out, code) => {
    const before = await readFile(join(folder, out));
    const refused = await cli.run([command, job, '--out', join(folder, out), '--json']);
    expect(refused.status).toBe(2);
    expect(refusalOf(refused).code).toBe(code);
    expect(await readFile(join(folder, out))).toEqual(before);
  });

  it('pictures are not drawn over a photo that is measured too', async () => {
    const own = join(folder, 'own');
    await mkdir(own);
    const [photo, measured] = ['x.jpg', 'x-measured.jpg'].map((name) => join(own, name));
    await writeFile(photo, 'a photo');
    await writeFile(measured, 'another photo');
    const refused = await cli.run(['measure', photo, measured, '--pictures', own, '--json']);
    expect([refused.status, refusalOf(refused).code]).toEqual([2, 'output-unwritable']);
    expect(await readFile(measured, 'utf8')).toBe('another photo');
  });

  it('carry no day that the calendar does not have', async () => {
    for (const date of ['2026-02-31', 'yesterday', '1.5.2026']) {
      const refused = await cli.run([
        'readings',
        job,
        '--out',
        join(folder, 'r.csv'),
        '--date',
        date,
        '--json',
      ]);
      expect(refusalOf(refused).message).toContain(date);
    }
  });
});

describe('sprayout mix', () => {
  const mix = (...more: string[]) => cli.run(['mix', '--mix', 'garnet=2,amber=1', ...more, '--json']);

  it('takes one amount, and densities of what is poured', async () => {
    for (const more of [
      ['--volume', '200', '--panels', '3', '--coats', '2'],
      ['--volume', '200', '--density', 'foo=0.95'],
      ['--volume', '200', '--ground', 'copper'],
    ])
      expect(refusalOf(await mix(...more)).code).toBe('usage');
    expect((await mix('--volume', '200', '--density', 'amber=0.95')).status).toBe(0);
  });

  it('reads decimal numbers alone', async () => {
    for (const [options, code] of [
      [['--mix', 'garnet=0x10', '--volume', '200'], 'mix-invalid'],
      [['--mix', 'garnet=2,amber=0b11', '--volume', '200'], 'mix-invalid'],
      [['--mix', 'garnet=2', '--volume', '0xc8'], 'usage'],
      [['--mix', 'garnet=2', '--volume', ' '], 'usage'],
    ] as const)
      expect(await refused('mix', options)).toMatchObject({ status: 2, code });
    expect((await mix('--volume', '+1.5e2')).status).toBe(0);
  });

  it('refuses parts that no cup holds', async () => {
    const refused = await cli.run(['mix', '--mix', 'garnet=1e308', '--volume', '200', '--json']);
    expect(refusalOf(refused).code).toBe('mix-invalid');
  });
});

describe('any call', () => {
  it('with --json is answered with one document, also where no command is named', async () => {
    expect(refusalOf(await cli.run(['--json'])).code).toBe('usage');
    expect(refusalOf(await cli.run(['app', 'foo', '--json'])).code).toBe('usage');
  });
});

describe('sprayout measure', () => {
  const demo = join(PROJECT, 'samples/demo');
  const measure = (...more: string[]) =>
    cli.run([
      'measure',
      join(demo, 'sun-1.jpg'),
      '--card',
      join(demo, 'bench-card.card.json'),
      ...more,
      '--json',
    ]);

  it('leaves out every patch that was named, also when the option is given twice', async () => {
    const { stdout } = await measure('--leave-out', 'F3', '--leave-out', 'N2,G1');
    expect(JSON.parse(stdout).photos[0].card.check.patches_left_out).toEqual(['F3', 'N2', 'G1']);
  });

  it('does not measure by a card that lies elsewhere', async () => {
    const outcome = await measure('--card-corners', '10,10 500,10 500,400 10,400');
    expect(outcome.status).toBe(3);
    expect(outcome.stdout).toContain('card-unreadable');
  });
});
