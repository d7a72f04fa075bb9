import { defineConfig } from 'vite';

/** Builds the command line and the library for Node; the native decoder and the network's runtime, which find files beside themselves, stay outside. */
export default defineConfig({
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
        'finder-thread': 'src/node/finder-thread.ts',
        'heic-thread': 'src/node/heic-thread.ts',
      },
      external: ['sharp', 'onnxruntime-web'],
      output: {
        // threads are started from a chunk
        entryFileNames: ({ name }) => (name.endsWith('-thread') ? 'chunks/[name].js' : '[name].js'),
        chunkFileNames: 'chunks/[name]-[hash].js',
      },
    },
  },
  // its module build has other exports than the one that Node loads
  resolve: { alias: { 'opentype.js': 'opentype.js/dist/opentype.js' } },
  ssr: { noExternal: true, external: ['sharp', 'onnxruntime-web'] },
});
