import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { readJson } from '../../src/node/read-json.ts';
import { buildCommandLine, type CommandLine, type Outcome, PROJECT, refusalOf } from './command-line.ts';

const DEMO = join(PROJECT, 'samples/demo');
const CARD = ['--card', join(DEMO, 'bench-card.card.json')];

let cli: CommandLine;
let folder: string;
let panelsFile: string;
let truth: { panels: Record<string, Lab>; target: Lab };
/** One photo alone, its panels found. */
let alone: Outcome;
/** An empty home for that run. */
let home: string;

interface DemoJob {
  panels: { id: string; measured: { photo: string; corners_px: [number, number][] }[] }[];
}

beforeAll(async () => {
  cli = await buildCommandLine();
  folder = await mkdtemp(join(tmpdir(), 'sprayout-measure-'));
  truth = (await readJson(join(DEMO, 'truth.json'))) as typeof truth;
  const job = (await readJson(join(DEMO, 'kettle-lid.job.json'))) as DemoJob;
  const panels = job.panels.flatMap(({ id, measured }) =>
    measured.filter((m) => m.photo === 'sun-1').map(({ corners_px }) => ({ id, corners_px })),
  );
  panelsFile = join(folder, 'panels.json');
  await writeFile(panelsFile, JSON.stringify({ format: 'sprayout-panels/1', panels }));
  home = await mkdtemp(join(tmpdir(), 'sprayout-home-'));
  alone = await cli.run(['measure', join(DEMO, 'sun-1.jpg'), ...CARD, '--json'], { env: { HOME: home } });
});
afterAll(async () => {
  await rm(folder, { recursive: true });
  await rm(home, { recursive: true });
});

describe('sprayout measure', () => {
  it('leaves nothing behind that was not asked for: no count of what was done, no number of the machine', async () => {
    expect(alone.status).toBe(0);
    expect(await readdir(home, { recursive: true })).toEqual([]);
  });

  it('answers with what scripts read, and the panels are what was sprayed', async () => {
    const photo = join(DEMO, 'sun-1.jpg');
    const { status, stdout } = await cli.run(['measure', photo, ...CARD, '--panels', panelsFile, '--json']);
    expect(status).toBe(0);
    const { photos } = JSON.parse(stdout);
    expect(photos).toHaveLength(1);
    const [{ file, card, white, light, panels, warnings }] = photos;
    expect(file).toBe(photo);
    expect(card).toMatchObject({ name: expect.any(String), found_by: 'markers' });
    expect(card.corners_px).toHaveLength(4);
    expect(card.check.mean_de00).toBeLessThan(3);
    expect(card.check.max_de00).toBeGreaterThanOrEqual(card.check.mean_de00);
    expect(card.check.patches_used).toBeGreaterThan(20);
    expect(card.check.patches_left_out).toEqual(expect.any(Array));
    expect(white).toBe('D50/2');
    expect(light.cct_k).toBeGreaterThan(4000);
    expect(Number.isFinite(light.duv)).toBe(true);
    expect(warnings).toEqual(expect.any(Array));
    expect(panels.length).toBeGreaterThan(3);
    for (const panel of panels) {
      expect(panel.corners_px).toHaveLength(4);
      expect(panel.u95).toHaveLength(3);
      expect(panel.pixels).toBeGreaterThan(1000);
      expect(panel.glare_fraction).toBeLessThan(0.5);
      expect(panel.evenness_de00).toBeLessThan(3);
      expect(panel.warnings).toEqual(expect.any(Array));
      expect(deltaE2000(panel.lab, truth.panels[panel.id])).toBeLessThan(4);
    }
  });

  it('finds the panels by itself, with the trained finder on a bench that is not plain', async () => {
    expect(alone.status).toBe(0);
    const [{ panels, warnings }] = JSON.parse(alone.stdout).photos;
    const { panels: real } = (await readJson(panelsFile)) as { panels: unknown[] };
    // and the kettle's lid, which is no panel of the job
    expect(panels).toHaveLength(real.length + 1);
    expect(warnings.map((w: { code: string }) => w.code)).not.toContain('finder-missing');
  });

  it('finds the same panels after a photo without a card as in the photo alone', async () => {
    const bare = join(folder, 'bare.jpg');
    const { default: sharp } = await import('sharp');
    await sharp({ create: { width: 2000, height: 1500, channels: 3, background: '#864' } })
      .jpeg()
      .toFile(bare);
    const after = await cli.run(['measure', bare, join(DEMO, 'sun-1.jpg'), ...CARD, '--json']);
    expect(JSON.parse(after.stdout).photos[1]).toEqual(JSON.parse(alone.stdout).photos[0]);
  });

  it('says first, in one sentence, how well the card was read', async () => {
    const { status, stdout } = await cli.run(['measure', 'shop-1.jpg', ...CARD], { cwd: DEMO });
    expect(status).toBe(0);
    const [file, check] = stdout.split('\n');
    expect(file).toBe('shop-1.jpg');
    expect(check).toMatch(/^ {2}the card was read to within \d\.\d on average, worst \d+\.\d/);
    expect(stdout).toMatch(/±/);
  });

  it('measures the sound photos of several, reports the others, and takes the worst exit status', async () => {
    await writeFile(join(folder, 'text.jpg'), 'no picture');
    const files = [join(folder, 'text.jpg'), join(DEMO, 'sun-2.jpg'), join(folder, 'lost.jpg')];
    const outcome = await cli.run(['measure', ...files, ...CARD, '--json']);
    expect(outcome.status).toBe(2);
    expect(refusalOf(outcome).code).toBe('image-unsupported');
    const { photos } = JSON.parse(outcome.stdout);
    expect(photos.map((p: { error?: { code: string } }) => p.error?.code)).toEqual([
      'image-unsupported',
      undefined,
      'file-not-found',
    ]);
    expect(photos[1].panels.length).toBeGreaterThan(0);
    expect(outcome.stderr).toMatch(/2 of 3/);
  });

  it('a photo without a card cannot be measured: exit status 3', async () => {
    const { default: sharp } = await import('sharp');
    const bare = join(folder, 'bare.png');
    await sharp({ create: { width: 600, height: 400, channels: 3, background: '#778' } })
      .png()
      .toFile(bare);
    const outcome = await cli.run(['measure', bare, '--json']);
    expect(outcome.status).toBe(3);
    expect(refusalOf(outcome).code).toBe('card-not-found');
    expect(outcome.stdout.trim().split('\n')).toHaveLength(1);
  });
});
