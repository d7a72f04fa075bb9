/** The app built once for all browser tests, into a folder of its own, so that nothing else is disturbed. */
import { execFile } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import type { TestProject } from 'vitest/node';
import { BUILT } from '../cli/build-folder.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

declare module 'vitest' {
  interface ProvidedContext {
    appFolder: string;
  }
}

/** Builds the app into `folder`. */
export async function buildApp(folder: string): Promise<void> {
  const vite = join(dirname(createRequire(import.meta.url).resolve('vite/package.json')), 'bin/vite.js');
  await promisify(execFile)(
    process.execPath,
    [vite, 'build', '--config', 'vite.app.config.ts', '--logLevel', 'warn'],
    { cwd: ROOT, env: { ...process.env, NODE_ENV: 'production', SPRAYOUT_APP_OUT: folder } },
  );
}

export default async function setup(project: TestProject): Promise<(() => Promise<void>) | undefined> {
  if (BUILT) {
    project.provide('appFolder', join(BUILT, 'app'));
    return undefined;
  }
  const folder = await mkdtemp(join(tmpdir(), 'sprayout-app-'));
  await buildApp(folder);
  project.provide('appFolder', folder);
  return () => rm(folder, { recursive: true, force: true });
}
