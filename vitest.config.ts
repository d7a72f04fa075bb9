import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'core',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/app/**', 'tests/bench/**', 'tests/browser/**'],
          globalSetup: ['tests/cli/build-folder.ts'],
          // modules keep nothing that a test could see: loaded once and run warm, they take a fifth less time
          isolate: false,
          maxWorkers: '100%',
          testTimeout: 60_000,
          hookTimeout: 60_000,
        },
      },
      {
        test: {
          // the app's stores are one a window, so each file has its own
          name: 'app',
          include: ['tests/app/**/*.test.ts'],
          maxWorkers: '100%',
        },
      },
      {
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          globalSetup: ['tests/browser/build-app.ts'],
          // a browser keeps two cores busy by itself
          fileParallelism: false,
          sequence: { groupOrder: 1 },
          testTimeout: 120_000,
          hookTimeout: 120_000,
        },
      },
    ],
  },
});
