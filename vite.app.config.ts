import { createHash } from 'node:crypto';
import { copyFileSync, mkdirSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin } from 'vite';

const at = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/** Files of the sample job that the app fetches when it is asked for the demo. */
const DEMO_FILES = /\.(jpg|job\.json|card\.json)$/;

/** Decoders and the panel finder: large, needed by some, fetched and kept when they are. */
const LATER_FILES = /\.(wasm|onnx)$|\/(ort\.|decode-heic-)/;

/** Writes the lists of files to keep for offline use, and a version of it, into the built service worker. */
function precache(): Plugin {
  return {
    name: 'sprayout-precache',
    apply: 'build',
    enforce: 'post',
    generateBundle(_, bundle) {
      const worker = bundle['service-worker.js'];
      if (worker?.type !== 'chunk') return;
      const built = Object.values(bundle).filter(
        (file) => file !== worker && !file.fileName.endsWith('.map'),
      );
      const later = built.filter((file) => LATER_FILES.test(file.fileName)).map((file) => file.fileName);
      const kept = built.filter((file) => !later.includes(file.fileName));
      const names = [...kept.map((file) => file.fileName), ...readdirSync(at('./src/app/public'))].sort();
      const content = createHash('sha256');
      for (const file of kept)
        content.update(file.fileName).update(file.type === 'chunk' ? file.code : file.source);
      worker.code = worker.code
        .replace('__PRECACHE_FILES__', JSON.stringify(names))
        .replace('__LATER_FILES__', JSON.stringify(later))
        .replace('__PRECACHE_VERSION__', JSON.stringify(content.digest('hex').slice(0, 12)));
    },
  };
}

/** Copies the sample job beside the app. */
function demoFiles(): Plugin {
  let out = '';
  return {
    name: 'sprayout-demo-files',
    configResolved(config) {
      out = config.build.outDir;
    },
    configureServer(server) {
      server.middlewares.use('/demo/', (request, response, next) => {
        const name = request.url?.slice(1).split('?')[0] ?? '';
        if (!DEMO_FILES.test(name) || name.includes('/')) return next();
        import('node:fs').then(({ createReadStream }) =>
          createReadStream(at(`./samples/demo/${name}`))
            .on('error', next)
            .pipe(response),
        );
      });
    },
    closeBundle() {
      const from = at('./samples/demo/');
      const to = `${at('./src/app/')}${out.startsWith('/') ? '' : out}`;
      const folder = out.startsWith('/') ? `${out}/demo` : `${to}/demo`;
      mkdirSync(folder, { recursive: true });
      for (const name of readdirSync(from))
        if (DEMO_FILES.test(name)) copyFileSync(`${from}${name}`, `${folder}/${name}`);
    },
  };
}

/** Builds the browser app: a folder of static files with relative addresses, to be hosted anywhere. */
export default defineConfig({
  root: at('./src/app'),
  base: './',
  publicDir: at('./src/app/public'),
  plugins: [react(), precache(), demoFiles()],
  worker: { format: 'es' },
  resolve: { alias: { 'opentype.js': 'opentype.js/dist/opentype.js' } },
  build: {
    outDir: process.env.SPRAYOUT_APP_OUT ?? at('./dist/app'),
    emptyOutDir: true,
    target: 'es2022',
    modulePreload: { polyfill: false },
    // an inlined file would be a data: address, which only images may have
    assetsInlineLimit: 0,
    rolldownOptions: {
      input: {
        index: at('./src/app/index.html'),
        'service-worker': at('./src/app/offline/service-worker.ts'),
      },
      output: {
        entryFileNames: ({ name }) => (name === 'service-worker' ? '[name].js' : 'assets/[name]-[hash].js'),
      },
    },
  },
});
