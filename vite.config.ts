import { execFileSync } from 'node:child_process';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { defineConfig, type Plugin } from 'vite';
import { virtualPanels } from './src/core/correction/virtual-panels.ts';
import { knownPrintsModule } from './src/node/known-prints-module.ts';

const at = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/**
 * Makes the virtual panels up when the command line is built, in the same digits: a process that has only begun takes 30 ms
 * over them.
 */
function madeUpPanels(): Plugin {
  return {
    name: 'sprayout-made-up-panels',
    load(id) {
      if (!id.endsWith('src/core/correction/virtual-panels.ts')) return undefined;
      const panels = virtualPanels();
      const bytes = Buffer.concat(panels.map((panel) => Buffer.from(panel.buffer)));
      // the library is for browsers too: nothing of Node's in it
      return `const text = atob('${bytes.toString('base64')}');
        const bytes = new Uint8Array(text.length);
        for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
        const values = new Float64Array(bytes.buffer);
        const panels = Array.from({ length: ${panels.length} }, (_, i) => values.slice(${panels[0].length} * i, ${panels[0].length} * (i + 1)));
        export const virtualPanels = () => panels;`;
    },
  };
}

/** Works out when the command line is built what it knows of the project's own sheets, with and without their strips. */
function knownPrints(): Plugin {
  return {
    name: 'sprayout-known-prints',
    load(id) {
      return id.endsWith('src/core/correction/known-prints.ts') ? knownPrintsModule() : undefined;
    },
  };
}

/** Runs commands of the demo once the command line is built, so that what they compile is kept for the first call. */
function keptCode(): Plugin {
  let out = '';
  return {
    name: 'sprayout-kept-code',
    configResolved({ root, build }) {
      out = resolve(root, build.outDir);
    },
    writeBundle() {
      const job = at('./samples/demo/kettle-lid.job.json');
      const photo = at('./samples/demo/sun-1.jpg');
      for (const words of [
        ['advise', job],
        ['measure', photo],
      ])
        execFileSync(process.execPath, [join(out, 'chunks/keep-code.js'), ...words], { stdio: 'ignore' });
    },
  };
}

const external = ['sharp', 'onnxruntime-node', 'onnxruntime-web'];

/**
 * Builds the library for Node, and with `--mode commands` then the command line and the thread that searches; the native
 * decoder and the network's runtimes, which find files beside themselves, stay outside.
 */
export default defineConfig(({ mode }) => {
  const isCommands = mode === 'commands';
  return {
    plugins: [madeUpPanels(), ...(isCommands ? [knownPrints(), keptCode()] : [])],
    build: {
      ssr: true,
      target: 'node20',
      outDir: 'dist',
      // the commands are built last, into the same folder
      emptyOutDir: !isCommands,
      minify: false,
      rolldownOptions: {
        // what chunks share is no part of the library
        preserveEntrySignatures: 'strict',
        input: isCommands
          ? {
              main: 'src/cli/main.ts',
              search: 'src/node/search-thread.ts',
              'search-thread': 'src/node/start-search-thread.ts',
            }
          : {
              index: 'src/index.ts',
              node: 'src/node/index.ts',
              cli: 'src/cli/start.ts',
              'keep-code': 'src/cli/keep-code.ts',
              'heic-thread': 'src/node/heic-thread.ts',
            },
        external,
        output: isCommands
          ? {
              format: 'cjs',
              // what stays outside is required, too: such a file has no imports of its own
              dynamicImportInCjs: false,
              entryFileNames: 'chunks/[name].cjs',
              chunkFileNames: 'chunks/[name]-[hash].cjs',
            }
          : {
              // threads are started from a chunk
              entryFileNames: ({ name }) => (/-(thread|code)$/.test(name) ? 'chunks/[name].js' : '[name].js'),
              chunkFileNames: 'chunks/[name]-[hash].js',
            },
      },
    },
    // its module build has other exports than the one that Node loads
    resolve: { alias: { 'opentype.js': 'opentype.js/dist/opentype.js' } },
    ssr: { noExternal: true, external },
  };
});
