import { copyFile, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { buildCommandLine, type CommandLine, PROJECT, refusalOf } from './command-line.ts';
import { refused } from './refused.ts';

let cli: CommandLine;
let folder: string;

beforeAll(async () => {
  cli = await buildCommandLine();
  folder = await mkdtemp(join(tmpdir(), 'sprayout-compare-'));
});
afterAll(async () => {
  await rm(folder, { recursive: true });
});

const LID: Lab = [33.6, 44.4, 24.6];
const P1: Lab = [36, 42, 25];

function instrumentJob() {
  return {
    format: 'sprayout-job/1',
    name: 'kettle lid',
    photos: [{ id: 'f1', file: 'sun.jpg' }] as Record<string, unknown>[],
    panels: [
      { id: 'p1', name: 'first blend', clear: true, measured: [{ lab: P1, u: 0.6 }] },
      { id: 'p2', clear: false, measured: [{ lab: [28, 47, 20], u: 0.6, photo: 'f1' }] },
    ] as Record<string, unknown>[],
    target: { name: 'the lid', measured: [{ lab: LID, u: 0.6 }] } as Record<string, unknown> | undefined,
    tolerances: undefined as { seen: number; accepted: number } | undefined,
  };
}

async function compare(job: unknown, ...options: string[]) {
  const path = join(folder, 'lid.job.json');
  await writeFile(path, JSON.stringify(job));
  return cli.run(['compare', path, ...options]);
}

describe('sprayout compare', () => {
  it('answers with one document: pairs and target, panel minus target', async () => {
    const { status, stdout } = await compare(instrumentJob(), '--json');
    expect(status).toBe(0);
    const { pairs, target } = JSON.parse(stdout);
    expect(pairs).toHaveLength(1);
    expect(pairs[0]).toMatchObject({ a: 'p1', b: 'p2' });
    expect(target.map((t: { panel: string }) => t.panel)).toEqual(['p1', 'p2']);
    for (const row of [...pairs, ...target]) {
      for (const field of ['de00', 'dL', 'dC', 'dH']) expect(Number.isFinite(row[field])).toBe(true);
      expect(row.u95).toHaveLength(3);
      expect(row.interval95[0]).toBeLessThanOrEqual(row.de00);
      expect(row.interval95[1]).toBeGreaterThanOrEqual(row.de00);
      expect(row.words).not.toBe('');
    }
    expect(target[0].dL).toBeCloseTo(P1[0] - LID[0], 6);
    expect(target[0].de00).toBeCloseTo(deltaE2000(P1, LID), 6);
  });

  it('passes over a panel that is not photographed yet', async () => {
    const job = instrumentJob();
    job.panels.push({ id: 'p3', name: 'still wet', coats: 2, measured: [] });
    const { status, stdout } = await compare(job, '--json');
    expect(status).toBe(0);
    expect(JSON.parse(stdout).target.map((t: { panel: string }) => t.panel)).toEqual(['p1', 'p2']);
  });

  it('prints words for people, warnings beside them', async () => {
    const { stdout, stderr } = await compare(instrumentJob());
    expect(stdout).toContain('Against the target');
    expect(stdout).toContain('p1 first blend');
    expect(stdout).toMatch(/lighter.*; you would see this side by side/);
    expect(stderr).toMatch(/warning: p2 is not cleared/);
  });

  it('goes by the tolerances of the job file', async () => {
    const { stdout } = await compare(
      { ...instrumentJob(), tolerances: { seen: 20, accepted: 30 } },
      '--json',
    );
    expect(JSON.parse(stdout).target[0].words).toMatch(/you would not see this/);
  });

  it('compares panels without a target too', async () => {
    const { stdout, status } = await compare({ ...instrumentJob(), target: undefined }, '--json');
    expect(status).toBe(0);
    expect(JSON.parse(stdout).target).toEqual([]);
    expect(JSON.parse(stdout).pairs).toHaveLength(1);
  });

  it('gives the same digits every time', async () => {
    const [first, second] = [
      await compare(instrumentJob(), '--json'),
      await compare(instrumentJob(), '--json'),
    ];
    expect(first.stdout).toBe(second.stdout);
  });

  it('opens a photo only when something has a place in it, and then it must be there', async () => {
    const job = instrumentJob();
    job.panels[1].measured = [
      {
        photo: 'f1',
        corners_px: [
          [10, 10],
          [90, 10],
          [90, 90],
          [10, 90],
        ],
      },
    ];
    const outcome = await compare(job, '--json');
    expect(outcome.status).toBe(2);
    expect(refusalOf(outcome).code).toBe('file-not-found');
    expect(refusalOf(outcome).message).toContain('sun.jpg');
  });

  it('does not follow a photo out of the job’s folder unless asked', async () => {
    const job = instrumentJob();
    job.photos[0].file = '/etc/hostname';
    expect(refusalOf(await compare(job, '--json')).code).toBe('job-path-outside');
    expect((await compare(job, '--json', '--allow-outside')).status).toBe(0);
  });
});

describe('a place where no panel can be', () => {
  /** The demo job cut down to one panel in one photo, with its place moved. */
  async function moved(corners_px: unknown): Promise<string> {
    const job = JSON.parse(await readFile(join(PROJECT, 'samples/demo/kettle-lid.job.json'), 'utf8'));
    const [place] = job.panels[0].measured.filter((m: { corners_px?: unknown }) => m.corners_px);
    job.photos = job.photos.filter(({ id }: { id: string }) => id === place.photo);
    job.panels = [{ ...job.panels[0], measured: [{ ...place, corners_px }] }];
    job.target = undefined;
    const path = join(folder, 'moved.job.json');
    for (const { file, card } of job.photos)
      for (const name of [file, card])
        await copyFile(join(PROJECT, 'samples/demo', name), join(folder, name));
    await writeFile(path, JSON.stringify(job));
    return path;
  }

  it('is refused alike by compare and lights', async () => {
    const path = await moved([
      [9000, 9000],
      [9100, 9000],
      [9100, 9100],
      [9000, 9100],
    ]);
    for (const command of ['compare', 'lights']) {
      const { status, code, message } = await refused(command, [path]);
      expect([status, code]).toEqual([2, 'panel-outside-photo']);
      expect(message).toMatch(/^Photo \S+: /);
    }
  });
});

describe('a job seen from the side alone', () => {
  it('is told so, and not to add what is there', async () => {
    const side = { ...instrumentJob(), target: undefined };
    side.photos = [{ id: 'f1', file: 'sun.jpg', view: 'flop' }];
    side.panels = side.panels.map((p) => ({ ...p, measured: [{ lab: P1, u: 0.6, photo: 'f1' }] }));
    const { code, message } = refusalOf(await compare(side, '--json'));
    expect(code).toBe('not-enough-panels');
    expect(message).toMatch(/from the side/);
  });
});
