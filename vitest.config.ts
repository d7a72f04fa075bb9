import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/bench/**'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});
