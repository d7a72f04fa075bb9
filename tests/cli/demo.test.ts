import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { readJson } from '../../src/node/read-json.ts';
import { buildCommandLine, type CommandLine, PROJECT, refusalOf } from './command-line.ts';

let cli: CommandLine;
let folder: string;

beforeAll(async () => {
  cli = await buildCommandLine();
  folder = await mkdtemp(join(tmpdir(), 'sprayout-demo-'));
});
afterAll(async () => {
  await cli.remove();
  await rm(folder, { recursive: true });
});

describe('sprayout demo', () => {
  it('measures the kettle lid’s panels, says how far they are, and draws each photo', async () => {
    const { status, stdout, stderr } = await cli.run(['demo', '--json'], { cwd: folder });
    expect(status).toBe(0);
    expect(stderr).toMatch(/measuring sun-1 \(1 of 4\)/);
    const { target, panels, pictures } = JSON.parse(stdout);
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
    expect((await readdir(join(folder, 'demo-out'))).every((name) => !name.endsWith('.tmp'))).toBe(true);
  });

  it('refuses a place it cannot write to before it starts', async () => {
    await writeFile(join(folder, 'file'), '');
    const outcome = await cli.run(['demo', '--json', '--out', join(folder, 'file/pictures')]);
    expect(outcome.status).toBe(2);
    expect(refusalOf(outcome).code).toBe('output-unwritable');
  });
});
