import { execFile } from 'node:child_process';
import { cp, mkdir, mkdtemp, readdir, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { promisify } from 'node:util';
import { build } from 'vite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildCommandLine, type CommandLine, PROJECT, TSC } from '../cli/command-line.ts';

const run = promisify(execFile);

/** Another project that has this package installed: the built files, the types, and the packages both need. */
let consumer: string;
let built: CommandLine;

beforeAll(async () => {
  built = await buildCommandLine();
  consumer = await mkdtemp(join(tmpdir(), 'sprayout-consumer-'));
  const installed = join(consumer, 'node_modules/sprayout');
  await mkdir(installed, { recursive: true });
  await symlink(join(PROJECT, 'package.json'), join(installed, 'package.json'));
  await mkdir(join(installed, 'dist'));
  for (const file of await readdir(built.folder))
    if (file !== 'types') await symlink(join(built.folder, file), join(installed, 'dist', file));
  const { dependencies } = JSON.parse(await readFile(join(PROJECT, 'package.json'), 'utf8'));
  for (const name of Object.keys(dependencies)) {
    await mkdir(dirname(join(consumer, 'node_modules', name)), { recursive: true });
    await symlink(join(PROJECT, 'node_modules', name), join(consumer, 'node_modules', name));
  }
  await writeFile(join(consumer, 'package.json'), '{ "type": "module" }');
});
afterAll(async () => {
  await rm(consumer, { recursive: true });
});

describe('the library in another project', () => {
  it('has types, for Node and for a bundler, that lean on nothing but its dependencies', async () => {
    // its own copy: beside the project's folder the project's development packages would be found
    const installed = join(consumer, 'node_modules/sprayout');
    await cp(join(built.folder, 'types'), join(installed, 'dist/types'), { recursive: true });
    await writeFile(
      join(consumer, 'typed.ts'),
      `import { advise, comparePanels, filmDataOf, fitFilm, type Job, type LabEnsemble, measurePhoto, mixingSheet, predict,
                type Raster, type Recipe, SprayoutError, type Suggestion } from 'sprayout';
       import { readPhoto } from 'sprayout/node';
       export async function nearest(file: string): Promise<number> {
         const { raster }: { raster: Raster } = await readPhoto(file);
         const colours: LabEnsemble = measurePhoto(raster).colours;
         return Math.min(...comparePanels(colours).pairs.map((pair) => pair.de00));
       }
       export function next(job: Job, colours: LabEnsemble, asked: Recipe): readonly [Suggestion, number | null, number] {
         const fit = fitFilm(filmDataOf(job, { colours }));
         const same = (id: string): string => id;
         const [best] = advise(fit, { names: { tint: same, ground: same, target: 'the lid' } }).suggestions;
         const sheet = mixingSheet({ mix: best.mix, reducer_pct: best.reducer_pct, amount: { volume_ml: 200 } });
         return [best, predict(fit, asked).de00_to_target, sheet.total_ml];
       }
       // @ts-expect-error a raster is no file name
       measurePhoto('photo.jpg');
       // @ts-expect-error codes are a closed list
       export const wrong = new SprayoutError('no-such-code', '', '');`,
    );
    // of what browsers and Node have in common, zod's types ask for this alone
    await writeFile(join(consumer, 'url.d.ts'), 'declare class URL { readonly href: string }');
    for (const resolution of ['NodeNext', 'Bundler']) {
      const module = resolution === 'NodeNext' ? 'NodeNext' : 'ESNext';
      const asked = [
        '--noEmit',
        '--strict',
        '--skipLibCheck',
        'false',
        '--target',
        'ES2022',
        '--lib',
        'ES2022',
      ];
      const where = ['--module', module, '--moduleResolution', resolution, '--types', ''];
      const checked = run(process.execPath, [TSC, ...asked, ...where, 'url.d.ts', 'typed.ts'], {
        cwd: consumer,
      });
      expect(
        await checked.then(
          () => '',
          ({ stdout }: { stdout: string }) => stdout,
        ),
      ).toBe('');
    }
  });

  it('hands out what its types say, and nothing else', async () => {
    const handedOut = async (file: string): Promise<string[]> =>
      Object.keys(await import(join(built.folder, file)));
    expect((await handedOut('index.js')).sort()).toEqual(
      Object.keys(await import('../../src/index.ts')).sort(),
    );
    expect((await handedOut('node.js')).sort()).toEqual(
      Object.keys(await import('../../src/node/index.ts')).sort(),
    );
  });

  it('bundles for a browser without anything of Node', async () => {
    await writeFile(
      join(consumer, 'app.js'),
      `import { comparePanels, measurePhoto, OWN_CARD, advise, fitFilm } from 'sprayout'; console.log(comparePanels, advise, fitFilm, measurePhoto, OWN_CARD.name);`,
    );
    await build({
      root: consumer,
      logLevel: 'error',
      build: { outDir: 'bundled', lib: { entry: 'app.js', formats: ['es'], fileName: 'app' } },
    });
    const bundles = await readdir(join(consumer, 'bundled'));
    for (const file of bundles) {
      const text = await readFile(join(consumer, 'bundled', file), 'utf8');
      expect(text).not.toMatch(/from\s*["']node:|require\(|import\(["'](sharp|node:)/);
    }
    expect(bundles.length).toBeGreaterThan(0);
  });

  it('measures and compares in Node as the example shows', async () => {
    const example = await readFile(join(PROJECT, 'samples/library-example.ts'), 'utf8');
    await symlink(join(PROJECT, 'samples/demo'), join(consumer, 'demo'));
    await writeFile(join(consumer, 'example.ts'), example);
    const { stdout } = await run(
      process.execPath,
      ['--import', join(PROJECT, 'node_modules/tsx/dist/esm/index.mjs'), 'example.ts'],
      { cwd: consumer },
    );
    expect(stdout).toMatch(/^card read to within \d\.\d ΔE on average\n/);
    expect(stdout).toMatch(/ against .*: ΔE \d+\.\d \(\d+\.\d–\d+\.\d\), \w+/);
  });
});
