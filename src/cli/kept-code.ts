/** Loads the command line's CommonJS files with the code that the build kept compiled for them. */
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { setFlagsFromString } from 'node:v8';
import vm from 'node:vm';

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
  const scripts = new Map<string, vm.Script>();
  const requireOther = createRequire(join(folder, 'any.cjs'));
  const load = (name: string): unknown => {
    // Node before 20.12 can't say how such a file's own imports are to be found
    if (!vm.constants) return requireOther(`./${name}`);
    const known = modules.get(name);
    if (known) return known.exports;
    const module = { exports: {} };
    modules.set(name, module);
    const file = join(folder, name);
    const script = new vm.Script(
      `(function (exports, require, module, __filename, __dirname) {${readFileSync(file, 'utf8')}\n})`,
      {
        filename: file,
        cachedData: keptBeside(file),
        importModuleDynamically: vm.constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
      },
    );
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

const codeOf = (file: string): string => `${file}.code`;

function keptBeside(file: string): Buffer | undefined {
  try {
    return readFileSync(codeOf(file));
  } catch {
    return undefined;
  }
}
