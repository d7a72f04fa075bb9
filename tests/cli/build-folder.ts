/** Where the command line is built for tests: inside the project (packages are looked up from there), away from `dist`. */
import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { TestProject } from 'vitest/node';

/** What `npm run build` has just made of this very tree, where that is known (.ci/run says so): nothing is built again. */
export const BUILT = process.env.SPRAYOUT_BUILT;

const CACHE = fileURLToPath(new URL('../../node_modules/.cache', import.meta.url));

declare module 'vitest' {
  interface ProvidedContext {
    commandLineFolder: string;
  }
}

export default async function setup(project: TestProject): Promise<(() => Promise<void>) | undefined> {
  if (BUILT) return undefined;
  await mkdir(CACHE, { recursive: true });
  const folder = await mkdtemp(join(CACHE, 'sprayout-'));
  project.provide('commandLineFolder', folder);
  return () => rm(folder, { recursive: true, force: true });
}
