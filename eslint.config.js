import tseslint from 'typescript-eslint';
import { importX } from 'eslint-plugin-import-x';
import { createTypeScriptImportResolver } from 'eslint-import-resolver-typescript';

/** The way of a touch: a folder may import from itself and from those before it, never after it. */
const order = [
  'src/time',
  'src/instrument',
  'src/wire',
  'src/pads',
  'src/playing',
  'src/room',
  'src/engine',
  'src/pipeline.ts',
  'src/takes',
  'src/demo',
  'src/calibration',
  'src/wiring',
  'src/check',
  'src/score',
  'src/compare',
  'src/explain',
  'src/fit',
  'src/ports',
  'src/page',
  'src/commands',
];
/** These touch devices, sockets, disks or the terminal; everything else is the core. */
const edges = ['src/ports/**', 'src/page/**', 'src/commands/**', 'src/bundle.ts'];

export default [
  { ignores: ['dist/**', 'node_modules/**', 'recordings/**'] },
  ...tseslint.configs.strict,
  {
    plugins: { 'import-x': importX },
    settings: { 'import-x/resolver-next': [createTypeScriptImportResolver()] },
    rules: {
      'import-x/no-cycle': 'error',
      'import-x/no-restricted-paths': [
        'error',
        {
          zones: order.slice(0, -1).map((folder, i) => ({
            target: `./${folder}`,
            from: order.slice(i + 1).map((later) => `./${later}`),
            message: 'An import points only to a folder earlier in the way of a touch.',
          })),
        },
      ],
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-non-null-assertion': 'off',
    },
  },
  {
    files: ['src/**/*.ts'],
    ignores: edges,
    rules: {
      'no-restricted-imports': [
        'error',
        { patterns: [{ group: ['node:*'], message: 'The core imports no Node module.' }] },
      ],
      'no-restricted-globals': ['error', 'process', 'Buffer', 'setTimeout', 'setInterval'],
    },
  },
  {
    // A browser has none of Node, and loads only what the core and the link between them hold.
    files: ['src/page/browser/**/*.{ts,tsx}', 'src/page/link/**/*.ts'],
    rules: {
      'no-restricted-imports': [
        'error',
        { patterns: [{ group: ['node:*'], message: 'A browser has no Node module.' }] },
      ],
      'no-restricted-globals': ['error', 'process', 'Buffer'],
      'import-x/no-restricted-paths': [
        'error',
        {
          zones: ['./src/ports', './src/page/host', './src/page/server'].map((from) => ({
            target: ['./src/page/browser'],
            from,
            except: [],
            message: 'The browser imports only the core and src/page/link; types as types.',
          })),
        },
      ],
    },
  },
  { files: ['src/**/*.{ts,tsx}'], rules: { 'no-console': 'error' } },
];
