/** Loads the command line's CommonJS files with the code that the build kept compiled for them. */
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { setFlagsFromString } from 'node:v8';
import { Script } from 'node:vm';
import { BroadcastChannel } from 'node:worker_threads';

/** The files loaded so far. */
export interface KeptCode {
  /** Loads a file of the folder, and those it asks for, each once. */
  readonly load: (name: string) => unknown;
  /** Writes what is compiled of each loaded file by now beside it. */
  readonly keep: () => void;
}

/**
 * To be called before the first file is loaded: code is kept for the flags it was made under. A call is over in seconds,
 * and inlining would take the compiler's threads longer than it saves, for ten photos too.
 */
export function setFlags(): void {
  setFlagsFromString('--no-turbo-inlining');
  setFlagsFromString('--no-parallel-scavenge');
}

type Wrapped = (
  exports: unknown,
  require: (id: string) => unknown,
  module: { exports: unknown },
  file: string,
  folder: string,
) => void;

/**
 * The files of a folder. A process that has only begun spends a tenth of its time compiling what it runs once; V8 takes
 * code compiled before instead (`Script.createCachedData`), and refuses what another version of it made, when the files
 * are compiled as ever. It knows a file's code by the source's length alone: names must tell contents apart.
 */
export function keptCode(folder: string): KeptCode {
  const modules = new Map<string, { exports: unknown }>();
  const scripts = new Map<string, Script>();
  const requireOther = createRequire(join(folder, 'any.cjs'));
  const load = (name: string): unknown => {
    const known = modules.get(name);
    if (known) return known.exports;
    const module = { exports: {} };
    modules.set(name, module);
    const file = join(folder, name);
    const source = `(function (exports, require, module, __filename, __dirname) {${readFileSync(file, 'utf8')}\n})`;
    const script = new Script(source, { filename: file, cachedData: keptBeside(file) });
    scripts.set(file, script);
    const require = (id: string): unknown => (id.startsWith('./') ? load(id.slice(2)) : requireOther(id));
    (script.runInThisContext() as Wrapped)(module.exports, require, module, file, dirname(file));
    return module.exports;
  };
  const keep = (): void => {
    for (const [file, script] of scripts) writeFileSync(codeOf(file), script.createCachedData());
  };
  return { load, keep };
}

/** Set while the build runs commands to keep their code. */
const ASKED = 'SPRAYOUT_KEEP_CODE';
const CHANNEL = 'sprayout-kept-code';

/** In a thread: keeps its code when the main thread asks for it. */
export function keepWhenAsked(code: KeptCode): void {
  if (!process.env[ASKED]) return;
  const channel = new BroadcastChannel(CHANNEL);
  channel.onmessage = () => {
    code.keep();
    channel.postMessage('kept');
  };
}

/** In the main thread, before the first file is loaded: keeps its code and its threads' when everything is done. */
export function keepAtEnd(code: KeptCode): void {
  process.env[ASKED] = 'yes';
  let threads = 0;
  process.on('worker', () => threads++);
  process.once('beforeExit', () => {
    code.keep();
    if (threads === 0) return;
    const channel = new BroadcastChannel(CHANNEL);
    channel.onmessage = () => {
      if (--threads === 0) channel.close();
    };
    channel.postMessage('keep');
  });
}

const codeOf = (file: string): string => `${file}.code`;

function keptBeside(file: string): Buffer | undefined {
  try {
    return readFileSync(codeOf(file));
  } catch {
    return undefined;
  }
}
