import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildCommandLine, type CommandLine, refusalOf } from './command-line.ts';

let cli: CommandLine;
let folder: string;

beforeAll(async () => {
  cli = await buildCommandLine();
  folder = await mkdtemp(join(tmpdir(), 'sprayout-cli-'));
});
afterAll(async () => {
  await rm(folder, { recursive: true });
});

describe('help', () => {
  it('is what a bare call, --help and -h print', async () => {
    const outcomes = await Promise.all([[], ['--help'], ['-h']].map((args) => cli.run(args)));
    for (const { status, stdout, stderr } of outcomes) {
      expect(status).toBe(0);
      expect(stderr).toBe('');
      for (const command of ['measure', 'compare', 'card', 'demo']) expect(stdout).toContain(`  ${command} `);
    }
  });

  it.each(['measure', 'compare', 'card', 'demo'])('%s --help says how it is called', async (command) => {
    const { status, stdout } = await cli.run([command, '--help']);
    expect(status).toBe(0);
    expect(stdout).toMatch(new RegExp(`^Usage: sprayout ${command} `));
    expect((await cli.run(['help', command])).stdout).toBe(stdout);
  });

  it('--version is the package’s', async () => {
    expect((await cli.run(['--version'])).stdout).toMatch(/^\d+\.\d+\.\d+\n$/);
  });
});

describe('a call that is wrong', () => {
  it.each<[string, string[], RegExp, RegExp]>([
    ['a misspelt command', ['mesure', 'a.jpg'], /mesure is not a command/, /measure/],
    ['a name of the language’s own', ['constructor'], /not a command/, /--help/],
    ['a misspelt option', ['measure', '--pannels', 'x', 'a.jpg'], /--pannels is not an option/, /--panels/],
    ['an option without its value', ['measure', 'a.jpg', '--card'], /--card needs a value/, /--help/],
    [
      'a value for a switch',
      ['compare', 'a', '--allow-outside=1'],
      /--allow-outside takes no value/,
      /--help/,
    ],
    ['no photo', ['measure'], /needs a photo/, /--help/],
    ['no job', ['compare'], /needs a job file/, /--help/],
    ['two jobs', ['compare', 'a.json', 'b.json'], /one argument/, /--help/],
  ])('%s is refused by name', async (_, args, message, hint) => {
    const [words, json] = await Promise.all([cli.run(args), cli.run([...args, '--json'])]);
    expect(words.status).toBe(2);
    expect(words.stdout).toBe('');
    expect(words.stderr).toMatch(message);
    expect(words.stderr).not.toMatch(/\n\s+at /);
    expect(json.status).toBe(2);
    expect(refusalOf(json).code).toBe('usage');
    expect(refusalOf(json).message).toMatch(message);
    expect(refusalOf(json).hint).toMatch(hint);
  });
});

describe('files that are not as they should be', () => {
  it.each<[string, string | Uint8Array | undefined, string]>([
    ['a missing one', undefined, 'file-not-found'],
    ['a document of another kind', '{"format": "sprayout-card/1"}', 'job-invalid'],
    ['bytes', Uint8Array.of(0xff, 0xd8, 0xff, 0x00), 'json-broken'],
  ])('as a job, %s', async (name, content, code) => {
    const path = join(folder, `${name.replace(/\W/g, '-')}.json`);
    if (content !== undefined) await writeFile(path, content);
    const outcome = await cli.run(['compare', path, '--json']);
    expect(outcome.status).toBe(2);
    expect(refusalOf(outcome).code).toBe(code);
    expect(refusalOf(outcome).message).toContain(path);
  });

  it('a job without panels has nothing to compare', async () => {
    const path = join(folder, 'no-panels.json');
    await writeFile(path, '{"format": "sprayout-job/1"}');
    const outcome = await cli.run(['compare', path, '--json']);
    expect(outcome.status).toBe(3);
    expect(refusalOf(outcome).code).toBe('not-enough-panels');
  });

  it('photos that do not exist are each reported, and the worst is on top', async () => {
    const outcome = await cli.run(['measure', 'a.jpg', 'b.jpg', '--json'], { cwd: folder });
    expect(outcome.status).toBe(2);
    const { photos, error } = JSON.parse(outcome.stdout);
    expect(error.code).toBe('file-not-found');
    expect(photos.map((p: { file: string }) => p.file)).toEqual(['a.jpg', 'b.jpg']);
    expect(photos[1].error.code).toBe('file-not-found');
  });

  it('under npm, relative paths are meant from the folder npm was called from', async () => {
    const env = { npm_lifecycle_event: 'sprayout', INIT_CWD: folder };
    const { message } = refusalOf(await cli.run(['compare', 'lost.json', '--json'], { env }));
    expect(message).toContain(join(folder, 'lost.json'));
    const other = { npm_lifecycle_event: 'test', INIT_CWD: '/nowhere' };
    const elsewhere = refusalOf(
      await cli.run(['compare', 'lost.json', '--json'], { env: other, cwd: folder }),
    );
    expect(elsewhere.message).toContain(join(folder, 'lost.json'));
  });
});
