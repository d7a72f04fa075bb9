import { spawn } from 'node:child_process';
import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

export const PROJECT = fileURLToPath(new URL('../../', import.meta.url));

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
  readonly remove: () => Promise<void>;
  /** Folder of the build. */
  readonly folder: string;
}

/** Builds into a folder of its own inside the project (packages are looked up from there), away from `dist`. */
export async function buildCommandLine(): Promise<CommandLine> {
  const cache = join(PROJECT, 'node_modules/.cache');
  await mkdir(cache, { recursive: true });
  const folder = await mkdtemp(join(cache, 'sprayout-'));
  await build({
    root: PROJECT,
    configFile: join(PROJECT, 'vite.config.ts'),
    logLevel: 'error',
    build: { outDir: folder, emptyOutDir: true },
  });
  return {
    folder,
    run: (args, options) => start(join(folder, 'cli.js'), args, options),
    remove: () => rm(folder, { recursive: true, force: true }),
  };
}

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
