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
