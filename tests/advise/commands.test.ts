import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { buildCommandLine, type CommandLine, type Outcome } from '../cli/command-line.ts';
import { refused } from '../cli/refused.ts';
import { BARE, recipe, truth, WALL } from '../film/shop.ts';

let cli: CommandLine;
let folder: string;

beforeAll(async () => {
  cli = await buildCommandLine();
  folder = await mkdtemp(join(tmpdir(), 'sprayout-advise-'));
});
afterAll(async () => {
  await rm(folder, { recursive: true });
});

type Job = Record<string, unknown>;

function job(change: Job = {}): Job {
  return {
    format: 'sprayout-job/1',
    tints: [
      { id: 'blue', name: 'Lagoon' },
      { id: 'red', name: 'Garnet' },
    ],
    grounds: [
      { id: 'g1', name: 'Silver' },
      { id: 'g2', name: 'Pale gold' },
      { id: 'g3', name: 'Graphite' },
    ],
    panels: WALL.map(({ id, recipe: r, reading }) => ({
      id,
      ground: r.ground,
      coats: r.coats,
      clear: r.clear,
      ...(r.coats > 0 ? { mix: { parts: r.parts, carrier: r.carrier } } : {}),
      measured: [{ lab: reading.lab, u: 0.3 }],
    })),
    target: { name: 'Kettle lid', measured: [{ lab: truth(recipe([3, 1], 3, 1)), u: 0.3 }] },
    pot: { mix: { parts: { blue: 5, red: 1 }, carrier: 5 }, volume_ml: 210 },
    ...change,
  };
}

async function stored(document: Job): Promise<string> {
  const path = join(folder, 'lid.job.json');
  await writeFile(path, JSON.stringify(document));
  return path;
}

async function ask(command: string, document: Job, ...options: string[]): Promise<Outcome> {
  return cli.run([command, await stored(document), ...options]);
}

describe('sprayout predict', () => {
  it('answers with the fields of the contract', async () => {
    const { stdout, status } = await ask(
      'predict',
      job(),
      '--mix',
      'blue=4,red=1',
      '--carrier',
      '5',
      '--coats',
      '4',
      '--ground',
      'g1',
      '--json',
    );
    const answer = JSON.parse(stdout) as {
      lab: Lab;
      u95: number[];
      de00_to_target: number;
      interval95: number[];
      basis: { panels_used: number };
    };
    expect(status).toBe(0);
    expect(deltaE2000(answer.lab, truth(recipe([4, 1], 4, 0)))).toBeLessThan(0.8);
    expect(answer.u95).toHaveLength(3);
    expect(answer.interval95[0]).toBeLessThanOrEqual(answer.de00_to_target);
    expect(answer.basis.panels_used).toBe(WALL.length);
  });

  it('without a target has no distance to one', async () => {
    const { target: _, ...rest } = job();
    const { stdout } = await ask(
      'predict',
      rest,
      '--mix',
      'blue=4',
      '--coats',
      '3',
      '--ground',
      'g1',
      '--json',
    );
    expect(JSON.parse(stdout)).toMatchObject({ de00_to_target: null, interval95: null });
  });

  it.each([
    ['mix-invalid', ['--mix', 'teal=1', '--coats', '3', '--ground', 'g1']],
    ['mix-invalid', ['--mix', 'blue=0', '--coats', '3', '--ground', 'g1']],
    ['mix-invalid', ['--mix', 'blue=-1,red=2', '--coats', '3', '--ground', 'g1']],
    ['mix-invalid', ['--mix', 'blue', '--coats', '3', '--ground', 'g1']],
    ['usage', ['--mix', 'blue=1', '--coats', '2.5', '--ground', 'g1']],
    ['usage', ['--mix', 'blue=1', '--coats', '3', '--ground', 'g9']],
    ['usage', ['--mix', 'blue=1', '--ground', 'g1']],
  ])('refuses with %s: %j', async (code, options) => {
    const refusal = await refused('predict', [await stored(job()), ...options]);
    expect([refusal.status, refusal.code]).toEqual([2, code]);
  });
});

describe('sprayout advise', () => {
  it('answers with the fields of the contract, best first', async () => {
    const { stdout } = await ask('advise', job(), '--json');
    const answer = JSON.parse(stdout) as {
      now: { panel: string; de00: number };
      suggestions: {
        mix: { parts: Record<string, number>; carrier: number };
        coats: number;
        ground: string;
        de00: number;
        words: string;
        pot: { final_ml: number } | null;
      }[];
      panels: { panel: string }[];
    };
    const [first] = answer.suggestions;
    const made = truth({
      ...recipe([1, 1], first.coats, 0),
      ground: first.ground,
      parts: first.mix.parts,
      carrier: first.mix.carrier,
    });
    expect(deltaE2000(made, truth(recipe([3, 1], 3, 1)))).toBeLessThan(0.8);
    expect(answer.panels).toHaveLength(WALL.length);
    expect(first.words).toContain('the kettle lid');
  });

  it('says it in words, the step first', async () => {
    const { stdout, status } = await ask('advise', job());
    expect(status).toBe(0);
    expect(stdout.split('\n')[0]).toMatch(
      /^Raise garnet from 5:1 to 3:1, keep three coats on pale gold; about .* from the kettle lid/,
    );
  });

  it('draws the ladder of each ground as SVG and PNG', async () => {
    const out = join(folder, 'ladders');
    await ask('advise', job(), '--ladder', out);
    expect((await readdir(out)).sort()).toEqual(
      ['g1', 'g2', 'g3'].flatMap((g) => [`ladder-${g}.png`, `ladder-${g}.svg`]),
    );
    expect(await readFile(join(out, 'ladder-g2.svg'), 'utf8')).not.toMatch(/<text|font-family/);
    // the surround is a neutral grey
    const { data } = await sharp(join(out, 'ladder-g2.png'))
      .extract({ left: 2, top: 2, width: 1, height: 1 })
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect(new Set(data.subarray(0, 3)).size).toBe(1);
  });

  it('names a contradictory panel and sets it aside when asked', async () => {
    const panels = (job().panels as Job[]).map((p) =>
      p.id === 'p5' ? { ...p, measured: [{ lab: truth(recipe([2, 1], 5, 1)), u: 0.3 }] } : p,
    );
    const named = await ask('advise', job({ panels }));
    expect(named.stderr).toMatch(/p5 is .* away from what its recipe predicts/);
    const aside = await ask('advise', job({ panels }), '--leave-out', 'p5');
    expect(aside.stderr).not.toMatch(/p5/);
  });

  it.each([
    ['no-target', 3, { target: undefined }],
    ['no-target', 3, { target: { measured: [] } }],
    ['not-enough-panels', 3, { panels: (job().panels as Job[]).slice(0, BARE.length) }],
    ['job-invalid', 2, { panels: [...(job().panels as Job[]), (job().panels as Job[])[3]] }],
    ['job-invalid', 2, { pot: { mix: { parts: { blue: 1 } }, volume_ml: -5 } }],
  ])('refuses with %s', async (code, status, change) => {
    const refusal = await refused('advise', [await stored(job(change))]);
    expect([refusal.status, refusal.code]).toEqual([status, code]);
  });

  it('a pot bigger than the cup is answered, with how much of it to start from', async () => {
    const { stdout } = await ask('advise', job(), '--cup', '100', '--json');
    const { suggestions } = JSON.parse(stdout) as {
      suggestions: { pot: { fits: boolean; take_ml: number } | null }[];
    };
    const pots = suggestions.flatMap((s) => (s.pot ? [s.pot] : []));
    expect(pots.length).toBeGreaterThan(0);
    expect(pots.every((p) => !p.fits && p.take_ml <= 100)).toBe(true);
  });
});

describe('sprayout mix', () => {
  it('writes the sheet with cautions, and what rounding does to the colour', async () => {
    const { stdout } = await ask(
      'mix',
      job(),
      '--mix',
      'blue=5,red=1',
      '--carrier',
      '5',
      '--volume',
      '120',
      '--marks',
      '2',
      '--json',
    );
    const answer = JSON.parse(stdout) as {
      lines: { what: string; ml: number }[];
      rounding_de00: number;
      cautions: { message: string }[];
      source: string;
    };
    expect(answer.lines.map((l) => l.what)).toEqual(['red', 'blue', 'carrier']);
    expect(answer.lines.every((l) => l.ml % 2 === 0)).toBe(true);
    expect(answer.rounding_de00).toBeGreaterThan(0);
    expect(answer.cautions.some((c) => /isocyanates/.test(c.message))).toBe(true);
    expect(answer.source).toBe('common practice, no source');
  });

  it('needs to know how much', async () => {
    const refusal = await refused('mix', ['--mix', 'blue=1']);
    expect([refusal.status, refusal.code]).toEqual([2, 'usage']);
  });
});
