import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import type { Browser, Page } from 'playwright-core';
import { describeRules } from '../../../src/instrument/rules.js';
import type { PageSeat } from '../../../src/page/link/state.js';
import { loadBuild, loadInstrument, loadRules } from '../../../src/ports/files/files.js';
import { launch, POLICY } from '../support/browser.js';
import { madeUpSeat } from '../support/made-up-seat.js';

/*
 * The take view alone, as the built page has it, with a small service beside it that knows how to send
 * takes, rules and instruments.
 */
const BROWSER = fileURLToPath(new URL('../../../src/page/browser/', import.meta.url));
const FOLDER = fileURLToPath(new URL('../../../config/', import.meta.url));
export const RULES = ['arpeggio', 'instant', 'legato', 'plain', 'strum'];

const HARNESS = `
import { render } from 'preact';
import { signal, computed } from '@preact/signals';
import { followScheme } from './style/scheme.js';
import { chooseLanguage, texts, followLanguage } from './texts/texts.js';
import { TakeView } from './take/take-view.js';
import { followRoute, route } from './route.js';
const told = window.told ?? {};
const part = (name) => signal(told[name] ?? null);
const names = ['room', 'seats', 'engines', 'notices', 'guide', 'recording', 'takes'];
const state = Object.fromEntries(names.map((name) => [name, part(name)]));
window.state = state;
const connection = { state, link: signal('open'), guest: signal(false), seed: signal(7),
  verdicts: signal(null), levels: { frame: 0, t: 0, seats: [] }, ask: () => Promise.resolve(null),
  onHistory: () => () => undefined, onVoices: () => () => undefined };
followScheme();
followLanguage();
followRoute();
window.chooseLanguage = chooseLanguage;
function Page() {
  const name = route.value.view === 'take' ? route.value.name : null;
  return <><header><h1>{texts.value.shell.title}</h1></header><main class="harness"><TakeView connection={connection} name={name} /></main></>;
}
render(<Page />, document.querySelector('#page'));
`;

const HTML = `<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>pluckwork</title><link rel="icon" href="data:,"><link rel="stylesheet" href="page.css"><script src="told.js"></script><script type="module" src="page.js"></script></head><body><div id="page"></div></body></html>`;

async function bundled(): Promise<Map<string, string>> {
  const common = {
    ...({ absWorkingDir: BROWSER, bundle: true, format: 'esm', minify: true } as const),
    ...({ jsx: 'automatic', jsxImportSource: 'preact', logLevel: 'silent' } as const),
    ...({ write: false, outdir: '/out', target: 'chrome110' } as const),
  };
  const files = await build({
    ...common,
    entryPoints: ['page.css', 'sound/worklet.ts', 'take/worker.ts'],
  });
  const page = await build({
    ...common,
    stdin: { contents: HARNESS, resolveDir: BROWSER, loader: 'tsx', sourcefile: 'page.tsx' },
  });
  const all = new Map(
    files.outputFiles.map(({ path, text }) => [path.replace(/^.*\/out/, ''), text]),
  );
  all.set('/page.js', page.outputFiles[0]!.text);
  all.set('/page.css', `${all.get('/page.css')!}\nmain.harness{padding:0.75rem}`);
  return all;
}

export interface Bench {
  readonly browser: Browser;
  readonly url: string;
  /** What the service has under `/takes/NAME`, and how the room is. */
  readonly takes: Map<string, string | Buffer>;
  seats: PageSeat[];
  /** Every path that was fetched. */
  readonly fetched: string[];
  close(): Promise<void>;
}

export async function openBench(): Promise<Bench> {
  const files = await bundled();
  const takes = new Map<string, string | Buffer>();
  const fetched: string[] = [];
  const bench: { seats: PageSeat[] } = { seats: [] };
  const told = (): string =>
    `window.told=${JSON.stringify({
      room: { name: 'demo', voices: 64, scale: null, duck: 9, rulesNames: RULES },
      seats: bench.seats,
      engines: [],
      takes: [...takes].map(([name, text], i) => ({
        name,
        bytes: text.length,
        at: 1_764_000_000_000 + 60_000 * i,
        room: false,
      })),
    })}`;
  const answer = async (path: string): Promise<{ type: string; body: string | Buffer } | null> => {
    if (path === '/') return { type: 'text/html; charset=utf-8', body: HTML };
    if (path === '/told.js') return { type: 'text/javascript', body: told() };
    const file = files.get(path);
    const type = path.endsWith('.css') ? 'text/css' : 'text/javascript';
    if (file !== undefined) return { type: `${type}; charset=utf-8`, body: file };
    fetched.push(path);
    const [, kind, name = ''] = /^\/(\w+)\/(.+)$/.exec(decodeURIComponent(path)) ?? [];
    const bare = name.replace(/\.json$/, '');
    if (kind === 'takes' && takes.has(name)) {
      return { type: 'application/x-ndjson', body: takes.get(name)! };
    }
    const load = { rules: loadRules, instruments: loadInstrument, builds: loadBuild }[kind ?? ''];
    if (!load) return null;
    return { type: 'application/json', body: JSON.stringify(await load(bare, FOLDER)) };
  };
  const server: Server = createServer((request, response) => {
    void answer(new URL(request.url ?? '/', 'http://x').pathname)
      .catch(() => null)
      .then((found) => {
        response.setHeader('content-security-policy', POLICY);
        if (!found) {
          response.writeHead(404, { 'content-type': 'application/json' });
          response.end(JSON.stringify({ what: 'There is no such file.', next: 'Choose another.' }));
          return;
        }
        response.writeHead(200, {
          'content-type': found.type,
          'content-length': Buffer.byteLength(found.body),
        });
        response.end(found.body);
      });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const browser = await launch('--autoplay-policy=user-gesture-required');
  return Object.assign(bench, {
    browser,
    takes,
    fetched,
    url: `http://127.0.0.1:${String((server.address() as AddressInfo).port)}/`,
    async close() {
      await browser.close();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  });
}

/** A page that fails its test where anything is wrong in it. */
export async function openPage(
  { browser, url }: Bench,
  path: string,
  options: Parameters<Browser['newPage']>[0] = {},
): Promise<{ page: Page; wrong: string[] }> {
  const page = await browser.newPage({ viewport: { width: 1280, height: 900 }, ...options });
  const wrong: string[] = [];
  page.on('pageerror', (error) => wrong.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') wrong.push(message.text());
  });
  await page.goto(`${url}${path}`);
  return { page, wrong };
}

/** A seat as the state tells of it, playing by a rules file with some values tried. */
export async function seatPlaying(
  name: string,
  rules: string,
  tried: Readonly<Record<string, string>> = {},
): Promise<PageSeat> {
  const values = Object.fromEntries(
    describeRules(await loadRules(rules, FOLDER)).map(({ key, value }) => [key, value]),
  );
  return madeUpSeat(name, 'bass-4x4', {
    rules: { name: rules, values: { ...values, ...tried }, tried: Object.keys(tried), fault: null },
  });
}
