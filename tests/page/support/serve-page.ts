import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { WebSocketServer, type WebSocket } from 'ws';
import { asked, type Ask } from '../../../src/page/link/asks.js';
import type { PageState } from '../../../src/page/link/state.js';
import type { Told } from '../../../src/page/link/told.js';
import { POLICY } from './browser.js';
import { layoutOf } from './made-up-seat.js';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
};

/** A room that is made up, as pages see it. */
export interface MadeUp {
  readonly state: () => PageState;
  readonly guest: () => boolean;
  /** A page wishes for something; returns why not, in words; null: it is done. */
  readonly carryOut: (ask: Ask, tell: (told: Told) => void) => string | null;
}

export interface ServedPage {
  /** On the loopback address. */
  readonly url: string;
  /** All that pages asked for, in order. */
  readonly asks: Ask[];
  /** Tells every page something: words, or a frame. */
  tell(told: Told | Uint8Array): void;
  /** Breaks every page's connection off; they may come back, or are broken off again. */
  cut(comeBack: boolean): void;
  close(): Promise<void>;
}

/** Serves the page as it is built from its sources, with a made-up room: no service is needed. */
export async function servePage({ state, guest, carryOut }: MadeUp): Promise<ServedPage> {
  const files = await (bundling ??= bundled());
  const asks: Ask[] = [];
  let open = true;
  const server = createServer((request, response) => {
    const path = new URL(request.url ?? '/', 'http://page').pathname;
    const name = path === '/' ? '/index.html' : path;
    const bytes = files.get(name);
    response.statusCode = bytes ? 200 : 404;
    response.setHeader('Content-Security-Policy', POLICY);
    response.setHeader('Content-Type', TYPES[extname(name)] ?? 'text/plain');
    response.end(bytes);
  });
  const sockets = new WebSocketServer({ server, path: '/link' });
  sockets.on('connection', (socket: WebSocket) => {
    if (!open) {
      socket.terminate();
      return;
    }
    const say = (told: Told): void => {
      socket.send(JSON.stringify(told));
    };
    say({ told: 'hello', guest: guest(), version: 'made up', seed: 1 });
    for (const [told, now] of Object.entries(state())) say({ told, now } as Told);
    say({ told: 'layout', ...layoutOf(state().seats) });
    socket.on('message', (data: Buffer) => {
      const { id, ask } = asked.parse(JSON.parse(data.toString()));
      asks.push(ask);
      say({ told: 'answer', id, refused: carryOut(ask, say) });
    });
  });
  const cut = (comeBack: boolean): void => {
    open = comeBack;
    for (const socket of sockets.clients) socket.terminate();
  };
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${String((server.address() as AddressInfo).port)}/`,
    asks,
    cut,
    tell(told) {
      const data = told instanceof Uint8Array ? told : JSON.stringify(told);
      for (const socket of sockets.clients) socket.send(data);
    },
    async close() {
      cut(false);
      sockets.close();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

/** Built once for all tests of a file: the sources stay as they are meanwhile. */
let bundling: ReturnType<typeof bundled> | undefined;

/** The page's files, built in memory by the options that the program is built with. */
async function bundled(): Promise<ReadonlyMap<string, Uint8Array>> {
  const from = fileURLToPath(new URL('../../../src/page/browser/', import.meta.url));
  const { outputFiles } = await build({
    absWorkingDir: from,
    entryPoints: ['index.html', 'page.tsx', 'page.css', 'sound/worklet.ts', 'take/worker.ts'],
    outdir: '/',
    bundle: true,
    write: false,
    format: 'esm',
    minify: true,
    logLevel: 'error',
    loader: { '.html': 'copy' },
    jsx: 'automatic',
    jsxImportSource: 'preact',
  });
  return new Map(outputFiles.map(({ path, contents }) => [path, contents]));
}
