import { resolve } from 'node:path';

/** Scripts of package.json that run the command line for someone standing in another folder. */
const OWN_SCRIPTS: ReadonlySet<string> = new Set(['sprayout', 'demo']);

/**
 * The folder that relative paths are meant from: the working folder, but under `npm run`, which changes into the
 * package, the folder npm was called from (INIT_CWD).
 */
export function callersFolder(env: NodeJS.ProcessEnv = process.env, cwd = process.cwd()): string {
  const throughNpm = OWN_SCRIPTS.has(env.npm_lifecycle_event ?? '') && env.INIT_CWD;
  return throughNpm || cwd;
}

/** A path as written by the caller, made absolute. */
export function callersPath(written: string): string {
  return resolve(callersFolder(), written);
}
