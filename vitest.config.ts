import { defineConfig } from 'vitest/config';

/**
 * Many tests live in real time, with sockets, synths, a browser and an emulated machine, and a host that others use too
 * stalls for a second now and then. In CI a test that fails is tried once more; .ci/run names each that needed it.
 */
const retry = process.env['CI'] ? 1 : 0;

export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'unit',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/alsa/**', 'tests/engines/**', 'tests/page/**'],
          testTimeout: 30_000,
          retry,
          // Left to itself it keeps one core free, and takes twice as long on two.
          maxWorkers: 2,
        },
      },
      {
        test: {
          name: 'ports',
          include: ['tests/{alsa,engines,page}/**/*.test.ts'],
          testTimeout: 600_000,
          retry,
          hookTimeout: 600_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
