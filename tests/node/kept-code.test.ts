import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { keptCode } from '../../src/node/kept-code.ts';
import { buildCommandLine } from '../cli/command-line.ts';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'sprayout-code-'));
});
afterAll(async () => {
  await rm(folder, { recursive: true });
});

const write = (name: string, source: string): Promise<void> => writeFile(join(folder, name), source);

describe('compiled code kept beside its source', () => {
  it('is run in place of a source of the same length, and refused for another, when the source is compiled', async () => {
    await write('one.cjs', `exports.sum = () => require('./two.cjs').two + 1;`);
    await write('two.cjs', `exports.two = 2;`);
    const first = keptCode(folder);
    expect((first.load('one.cjs') as { sum: () => number }).sum()).toBe(3);
    first.keep();
    // V8 knows a source by its length alone
    await write('two.cjs', `exports.two = 7;`);
    expect((keptCode(folder).load('one.cjs') as { sum: () => number }).sum()).toBe(3);
    await write('two.cjs', `exports.two = 70;`);
    expect((keptCode(folder).load('one.cjs') as { sum: () => number }).sum()).toBe(71);
  });

  it('that is broken is no reason to fail', async () => {
    await write('whole.cjs', `exports.name = 'whole';`);
    await write('whole.cjs.code', 'no code');
    expect(keptCode(folder).load('whole.cjs')).toEqual({ name: 'whole' });
  });

  it('lies beside the files of the built command line that measuring loads', async () => {
    const { folder: built } = await buildCommandLine();
    const files = await readdir(join(built, 'chunks'));
    for (const name of ['main', 'run', 'measure', 'correction'])
      expect(
        files.some((file) => file.startsWith(name) && file.endsWith('.cjs.code')),
        name,
      ).toBe(true);
  });
});
