import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ENAMEL_LAB, PANELS, scenePanels, spectrumOfPanel } from '../../samples/demo/kettle-lid.ts';
import { labD50 } from '../../samples/scene/spectral.ts';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { readJson } from '../../src/node/read-json.ts';
import { buildCommandLine, type CommandLine, type Outcome, PROJECT, refusalOf } from './command-line.ts';

let cli: CommandLine;
let folder: string;
/** One call of the demo, for the checks of what it answers to scripts. */
let answer: Outcome;

beforeAll(async () => {
  cli = await buildCommandLine();
  folder = await mkdtemp(join(tmpdir(), 'sprayout-demo-'));
  answer = await cli.run(['demo', '--json'], { cwd: folder });
});
afterAll(async () => {
  await rm(folder, { recursive: true });
});

describe('sprayout demo', () => {
  it('measures the kettle lid’s panels, says how far they are, and draws each photo', async () => {
    const { status, stdout, stderr } = answer;
    expect(status).toBe(0);
    expect(stderr).toMatch(/measuring sun-1 \(1 of 4\)/);
    const { target, panels, pictures, boards } = JSON.parse(stdout);
    const truth = (await readJson(join(PROJECT, 'samples/demo/truth.json'))) as {
      panels: Record<string, Lab>;
      target: Lab;
    };
    const distances = panels.map(({ id, lab }: { id: string; lab: Lab }) =>
      deltaE2000(lab, id === 'target' ? truth.target : truth.panels[id]),
    );
    expect(distances).toHaveLength(13);
    expect(distances.reduce((a: number, b: number) => a + b, 0) / 13).toBeLessThan(1.5);
    const [nearest] = [...target].sort((a, b) => a.de00 - b.de00);
    const sprayed = Object.entries(truth.panels).map(
      ([id, lab]) => [deltaE2000(lab, truth.target), id] as const,
    );
    expect(nearest.panel).toBe(sprayed.sort(([a], [b]) => a - b)[0][1]);
    expect(pictures).toHaveLength(4);
    for (const picture of pictures) {
      const { format, width } = await sharp(picture).metadata();
      expect(format).toBe('jpeg');
      expect(width).toBeGreaterThan(1000);
    }
    expect(boards).toEqual(
      ['.pdf', '.html', '.png'].map((ending) => join(folder, `demo-out/board-${nearest.panel}${ending}`)),
    );
    expect(stderr).not.toMatch(/left out/);
    expect((await readdir(join(folder, 'demo-out'))).every((name) => !name.endsWith('.tmp'))).toBe(true);
  });

  it('goes on to what to spray and pour next, with its reason, cautions, and a ladder for each ground', async () => {
    const { status, stdout } = await cli.run(['demo', '--out', join(folder, 'words')]);
    expect(status).toBe(0);
    const [, advice, cautions] = /\nWhat to do next\n([\s\S]*?)\n\n([\s\S]*?)\n\n/.exec(stdout) ?? [];
    const [step, why, pour] = advice.split('\n').map((line) => line.trim());
    expect(step).toMatch(/amber.* from 5:1 to \d+:\d+.* from the enamel kettle lid/);
    expect(why).toMatch(/^The nearest so far, p7, is \d\.\d off: the enamel kettle lid is .+\.$/);
    expect(pour).toMatch(/^Add \d+(\.\d)? ml of amber/);
    expect(cautions.match(/isocyanates/g)).toHaveLength(1);
    expect(stdout.match(/^ {2}p\d+ against p\d+ /gm)).toHaveLength(5);
    for (const ground of ['silver', 'gold', 'graphite']) {
      const sheet = join(folder, 'words', `ladder-${ground}`);
      expect(stdout).toContain(`${sheet}.png`);
      expect((await sharp(`${sheet}.png`).metadata()).format).toBe('png');
      expect((await sharp(`${sheet}.svg`).metadata()).format).toBe('svg');
    }
  });

  it('is shown in the README as it speaks', async () => {
    const readme = await readFile(join(PROJECT, 'README.md'), 'utf8');
    const [, shown] = /\n\$ npm run --silent sprayout -- advise \S+\n([^`]+)\n```/.exec(readme) ?? [];
    const [{ words, why, pot_words }] = JSON.parse(answer.stdout).advice.suggestions;
    expect(shown.split('\n')).toEqual([words, why, pot_words]);
  });

  it('would come closer to the lid, were its advice sprayed in the bench’s own paint', () => {
    const [first] = JSON.parse(answer.stdout).advice.suggestions;
    const { garnet = 0, amber = 0 } = first.mix.parts;
    const { coats, ground } = first;
    const sprayed = labD50(
      spectrumOfPanel(
        { id: 'next', name: 'next', ground, parts: [garnet, amber], coats },
        { carrier: first.mix.carrier, hand: 1 },
      ),
    );
    const off = (lab: Lab) => deltaE2000(lab, ENAMEL_LAB);
    const nearest = Math.min(...scenePanels(PANELS.map((p) => p.id)).map((p) => off(p.lab)));
    expect(off(sprayed)).toBeLessThan(0.85 * nearest);
    expect(off(sprayed)).toBeLessThan(first.interval95[1]);
  });

  it('refuses a place it cannot write to before it starts', async () => {
    await writeFile(join(folder, 'file'), '');
    const outcome = await cli.run(['demo', '--json', '--out', join(folder, 'file/pictures')]);
    expect(outcome.status).toBe(2);
    expect(refusalOf(outcome).code).toBe('output-unwritable');
  });
});
