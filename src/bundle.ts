import { readdirSync, rmSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { dirname, join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build, type BuildOptions, type Plugin } from 'esbuild';

/*
 * Makes of single modules what is loaded as a whole: part of building the program, so that nothing is made or
 * fetched while it runs. What the browser loads is one file for each entry. The program is one piece for each
 * command and one for what several share: finding and reading hundreds of small files took most of the second in
 * which a command started.
 */
const dist = fileURLToPath(new URL('.', import.meta.url));
const source = fileURLToPath(new URL('../src/', import.meta.url));

await build({
  absWorkingDir: join(source, 'page/browser'),
  entryPoints: ['index.html', 'page.tsx', 'page.css', 'sound/worklet.ts', 'take/worker.ts'],
  outdir: join(dist, 'page/browser'),
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

const PROGRAM = join(dist, 'commands');
const PIECE = 'piece-';
/** What runs in threads of its own, each a whole. */
const THREADS = [
  'page/server/thread.js',
  'ports/files/worker.js',
  'ports/fit/worker.js',
  'ports/logic/worker.js',
  'ports/sound/worker.js',
];

/** A module finds threads and our own files from where it lay before it became part of something in `to`. */
const placed = (to: string): Plugin => ({
  name: 'placed',
  setup({ onLoad }) {
    onLoad({ filter: /\.js$/ }, async ({ path }) => {
      if (!path.startsWith(dist)) return null;
      const from = relative(to, path).split(sep).join('/');
      const text = await readFile(path, 'utf8');
      const place = `new URL(${JSON.stringify(from)}, import.meta.url).href`;
      return { contents: text.replaceAll('import.meta.url', place), resolveDir: dirname(path) };
    });
  },
});

const forNode = (outdir: string): BuildOptions => ({
  outdir,
  // What is made takes the place of what it is made of.
  allowOverwrite: true,
  bundle: true,
  format: 'esm',
  platform: 'node',
  // What a package has as modules loads only what is used of it.
  mainFields: ['module', 'main'],
  target: 'node20',
  sourcemap: true,
  // Those with parts that are no JavaScript, or that look for files beside their own.
  external: [
    ...['@julusian/midi', '@echogarden/audio-io', 'esbuild', 'pino'],
    ...['bufferutil', 'utf-8-validate'],
  ],
  // For packages that are written for `require`.
  banner: {
    js: "import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);",
  },
  plugins: [placed(outdir)],
  logLevel: 'warning',
});

for (const name of readdirSync(PROGRAM)) {
  if (name.startsWith(PIECE)) rmSync(join(PROGRAM, name));
}
await build({
  ...forNode(PROGRAM),
  entryPoints: [join(PROGRAM, 'main.js')],
  splitting: true,
  chunkNames: `${PIECE}[name]-[hash]`,
});
for (const thread of THREADS) {
  const path = join(dist, thread);
  await build({ ...forNode(dirname(path)), entryPoints: [path] });
}
