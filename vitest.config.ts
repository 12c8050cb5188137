import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'unit',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/alsa/**', 'tests/engines/**', 'tests/page/**'],
          testTimeout: 30_000,
          // Left to itself it keeps one core free, and takes twice as long on two.
          maxWorkers: 2,
        },
      },
      {
        test: {
          name: 'ports',
          include: ['tests/{alsa,engines,page}/**/*.test.ts'],
          testTimeout: 600_000,
          hookTimeout: 600_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
