import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

/*
 * Makes what the browser loads: part of building the program, so that nothing is made or fetched
 * while it runs. Each entry is one file of its own beside the page.
 */
const from = fileURLToPath(new URL('../../src/page/browser/', import.meta.url));
const to = fileURLToPath(new URL('./browser/', import.meta.url));

await build({
  absWorkingDir: from,
  entryPoints: ['index.html', 'page.tsx', 'page.css', 'sound/worklet.ts', 'take/worker.ts'],
  outdir: to,
  bundle: true,
  format: 'esm',
  target: ['chrome110', 'firefox115', 'safari16'],
  minify: true,
  sourcemap: true,
  loader: { '.html': 'copy' },
  jsx: 'automatic',
  jsxImportSource: 'preact',
  logLevel: 'warning',
});
