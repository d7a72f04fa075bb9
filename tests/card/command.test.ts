import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { readArguments } from '../../src/cli/arguments.ts';
import { command } from '../../src/cli/commands/card.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import type { CardDefinition } from '../../src/core/card/types.ts';
import { readCard } from '../../src/node/read-card.ts';
import { pagesOf } from './page-content.ts';

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'card-'));
});
afterEach(async () => {
  await rm(folder, { recursive: true });
});

type Call = Parameters<typeof command.run>[0];

async function card(...argv: string[]) {
  const { values, positionals } = readArguments(argv, command.options, 'card');
  return command.run({
    values,
    positionals,
    tell: () => {},
    path: (p: string) => resolve(folder, p),
  } as Call);
}

const readings = (): string => {
  const rows = OWN_CARD.patches
    .filter((p) => !p.replicate_of)
    .map((p) => [p.id, ...(p.lab as number[])].join(','));
  return ['id,L,a,b', ...rows].join('\n');
};

describe('sprayout card', () => {
  it('draws the card and its strips on A4, or on letter', async () => {
    const { words } = await card('--out', 'card.pdf');
    expect(words).toContain('card.pdf');
    expect(words).toContain('100 %');
    const [a4] = await pagesOf(await readFile(join(folder, 'card.pdf')));
    expect(a4.size_pt[1]).toBeCloseTo((297 * 72) / 25.4, 6);
    const { json } = await card('--out', 'us.pdf', '--paper', 'letter');
    expect(json).toMatchObject({ out: 'us.pdf', paper: 'letter' });
    const [letter] = await pagesOf(await readFile(join(folder, 'us.pdf')));
    expect(letter.size_pt.map((v) => Number(v.toFixed(9)))).toEqual([612, 792]);
  });

  it('draws another card from its file', async () => {
    const other: CardDefinition = {
      ...OWN_CARD,
      name: 'Other',
      size_mm: [150, 110],
      markers: [],
      furniture: undefined as never,
    };
    await writeFile(join(folder, 'other.json'), JSON.stringify(other));
    const { json } = await card('--out', 'other.pdf', '--card', 'other.json');
    expect(json).toMatchObject({ name: 'Other', strips: [] });
  });

  it('makes a measured card of readings, which can be read and drawn again', async () => {
    await writeFile(join(folder, 'readings.csv'), readings());
    const { json, words } = await card('--measured', 'readings.csv', '--out', 'mine.card.json');
    expect(json).toMatchObject({
      source: 'measured',
      patches: 47,
      from_base: { mean_de00: expect.closeTo(0, 2) },
    });
    expect(words).toContain('--card mine.card.json');
    const made = await readCard(join(folder, 'mine.card.json'));
    expect(made.source).toBe('measured');
    expect((await card('--out', 'mine.pdf', '--card', 'mine.card.json')).json).toMatchObject({
      strips: ['Bench strip 1', 'Bench strip 2'],
    });
  });

  it('takes readings saved as UTF-16 or Latin-1', async () => {
    await writeFile(join(folder, 'a.csv'), Buffer.from(`\uFEFF${readings()}`, 'utf16le'));
    await writeFile(join(folder, 'b.csv'), Buffer.from(`# gemessen für 2°\n${readings()}`, 'latin1'));
    for (const file of ['a.csv', 'b.csv'])
      expect((await card('--measured', file, '--out', 'c.json')).json).toMatchObject({ patches: 47 });
  });

  it.each([
    [[], 'usage'],
    [['--out', 'card.png'], 'usage'],
    [['--out', 'card.pdf', '--paper', 'a3'], 'usage'],
    [['--out', 'card.pdf', 'more'], 'usage'],
    [['--out', 'card.pdf', '--card', 'none.json'], 'file-not-found'],
    [['--out', 'none/card.pdf'], 'output-unwritable'],
    [['--out', 'card.pdf', '--measured', 'readings.csv'], 'usage'],
    [['--out', 'a.json', '--measured', 'none.csv'], 'file-not-found'],
    [['--out', 'a.json', '--measured', 'broken.csv'], 'readings-invalid'],
    [['--out', 'a.json', '--measured', 'readings.csv', '--adopt', 'p.jpg'], 'usage'],
    [['--out', 'a.json', '--adopt', 'p.jpg'], 'usage'],
    [['--out', 'card.pdf', '--card-corners', '0,0 9,0 9,9 0,9'], 'usage'],
    [['--out', 'card.pdf', '--card', 'broken.json'], 'json-broken'],
    [['--out', 'card.pdf', '--card', 'large.json'], 'card-invalid'],
  ])('refuses %j and leaves nothing behind', async (argv, code) => {
    await writeFile(join(folder, 'readings.csv'), readings());
    await writeFile(join(folder, 'broken.csv'), readings().replace('F1,', 'F99,'));
    await writeFile(join(folder, 'broken.json'), '{"format": ');
    await writeFile(join(folder, 'large.json'), JSON.stringify({ ...OWN_CARD, size_mm: [500, 300] }));
    const before = await readdir(folder);
    await expect(card(...argv)).rejects.toMatchObject({ code });
    expect(await readdir(folder)).toEqual(before);
  });

  it('keeps a file that was there when the new one can not be made', async () => {
    await writeFile(join(folder, 'mine.json'), 'precious');
    await writeFile(join(folder, 'broken.csv'), readings().replace('F1,', 'F99,'));
    await expect(card('--measured', 'broken.csv', '--out', 'mine.json')).rejects.toMatchObject({
      code: 'readings-invalid',
    });
    expect(await readFile(join(folder, 'mine.json'), 'utf8')).toBe('precious');
  });
});
