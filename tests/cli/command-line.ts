import { execFile, spawn } from 'node:child_process';
import { access, mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { build } from 'vite';
import { inject } from 'vitest';
import { BUILT } from './build-folder.ts';

export const PROJECT = fileURLToPath(new URL('../../', import.meta.url));
export const TSC = join(PROJECT, 'node_modules/typescript/bin/tsc');

export interface Outcome {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

export interface RunOptions {
  readonly cwd?: string;
  readonly env?: Readonly<Record<string, string>>;
}

/** The command line as it is shipped: bundled by the project's own build, run in a process of its own. */
export interface CommandLine {
  readonly run: (args: readonly string[], options?: RunOptions) => Promise<Outcome>;
  /** Folder of the build. */
  readonly folder: string;
}

/** Builds once for all tests of a run, types too: who asks first builds, the others wait. */
export async function buildCommandLine(): Promise<CommandLine> {
  const folder = BUILT ?? (await buildOnce(inject('commandLineFolder')));
  return { folder, run: (args, options) => start(join(folder, 'cli.js'), args, options) };
}

async function buildOnce(place: string): Promise<string> {
  const folder = join(place, 'dist');
  const finished = join(place, 'finished');
  if (await isFirst(join(place, 'asked'))) {
    for (const mode of ['production', 'commands'])
      await build({
        root: PROJECT,
        configFile: join(PROJECT, 'vite.config.ts'),
        mode,
        logLevel: 'error',
        build: { outDir: folder },
      });
    await promisify(execFile)(process.execPath, [
      TSC,
      '-p',
      join(PROJECT, 'tsconfig.build.json'),
      '--outDir',
      join(folder, 'types'),
    ]);
    await writeFile(finished, '');
  } else while (!(await exists(finished))) await setTimeout(100);
  return folder;
}

/** Of all who name a place, one is told that it is the first. */
async function isFirst(place: string): Promise<boolean> {
  try {
    await mkdir(place);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw error;
  }
}

const exists = (path: string): Promise<boolean> =>
  access(path).then(
    () => true,
    () => false,
  );

function start(script: string, args: readonly string[], { cwd, env }: RunOptions = {}): Promise<Outcome> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [script, ...args], { cwd, env: { ...process.env, ...env } });
    let stdout = '';
    let stderr = '';
    child.stdout.on('data', (chunk) => (stdout += chunk));
    child.stderr.on('data', (chunk) => (stderr += chunk));
    child.on('error', reject);
    child.on('close', (status) => resolve({ status, stdout, stderr }));
  });
}

/** The refusal that a call with `--json` printed; fails when stdout is not exactly that one document. */
export function refusalOf(outcome: Outcome): { code: string; message: string; hint: string } {
  const document = JSON.parse(outcome.stdout) as { error: { code: string; message: string; hint: string } };
  return document.error;
}
