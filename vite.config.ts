import { defineConfig, type Plugin } from 'vite';
import { virtualPanels } from './src/core/correction/virtual-panels.ts';

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

/** Builds the command line and the library for Node; the native decoder and the network's runtimes, which find files beside themselves, stay outside. */
export default defineConfig({
  plugins: [madeUpPanels()],
  build: {
    ssr: true,
    target: 'node20',
    outDir: 'dist',
    emptyOutDir: true,
    minify: false,
    rolldownOptions: {
      input: {
        cli: 'src/cli/main.ts',
        index: 'src/index.ts',
        node: 'src/node/index.ts',
        'search-thread': 'src/node/search-thread.ts',
        'heic-thread': 'src/node/heic-thread.ts',
      },
      external: ['sharp', 'onnxruntime-node', 'onnxruntime-web'],
      output: {
        // threads are started from a chunk
        entryFileNames: ({ name }) => (name.endsWith('-thread') ? 'chunks/[name].js' : '[name].js'),
        chunkFileNames: 'chunks/[name]-[hash].js',
      },
    },
  },
  // its module build has other exports than the one that Node loads
  resolve: { alias: { 'opentype.js': 'opentype.js/dist/opentype.js' } },
  ssr: { noExternal: true, external: ['sharp', 'onnxruntime-node', 'onnxruntime-web'] },
});
