import { createServer } from 'node:http';
import { extname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { WebSocketServer, type WebSocket } from 'ws';
import type { Ask, Asked } from '../../../src/page/link/asks.js';
import { encodeLevels } from '../../../src/page/link/levels-frame.js';
import type { PageState } from '../../../src/page/link/state.js';
import type { Told } from '../../../src/page/link/told.js';
import { movingLevels } from './made-up-levels.js';

/** What the service allows the page; the page's own server has the same line. */
const CSP =
  "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; worker-src 'self'; font-src 'none'";
const TYPES: Readonly<Record<string, string>> = {
  ...{ '.html': 'text/html', '.js': 'text/javascript', '.css': 'text/css' },
};

export interface MadeUpService {
  readonly url: string;
  /** All that pages asked for, in order. */
  readonly asks: Ask[];
  /** Tells every page a part of the state anew. */
  tell(told: Told): void;
  /** Breaks every page's connection off; they may come back. */
  cut(): void;
  close(): Promise<void>;
}

interface Options {
  readonly state: PageState;
  readonly guest?: boolean;
  /** Frames of levels each second; 0: none, and what is pressed is shown as touched. */
  readonly rate?: number;
  /** Words that refuse a wish; null: it is done. */
  readonly refuse?: (ask: Ask) => string | null;
}

/** Serves the page as it is built from its sources, with a made-up room: no service is needed. */
export async function madeUpService(options: Options): Promise<MadeUpService> {
  const { guest = false, rate = 30, refuse = () => null } = options;
  const files = await bundled();
  let { state } = options;
  const asks: Ask[] = [];
  const server = createServer((request, response) => {
    const path = new URL(request.url ?? '/', 'http://page').pathname;
    const name = path === '/' ? '/index.html' : path;
    const bytes = files.get(name);
    response.statusCode = bytes ? 200 : 404;
    response.setHeader('Content-Security-Policy', CSP);
    response.setHeader('Content-Type', TYPES[extname(name)] ?? 'text/plain');
    response.end(bytes);
  });
  const sockets = new WebSocketServer({ server, path: '/link' });
  const all = (data: string | Uint8Array): void => {
    for (const socket of sockets.clients) socket.send(data);
  };
  const tell = (told: Told): void => {
    if (told.told in state) state = { ...state, [told.told]: (told as { now?: unknown }).now };
    all(JSON.stringify(told));
  };
  sockets.on('connection', (socket: WebSocket) => {
    const say = (told: Told): void => {
      socket.send(JSON.stringify(told));
    };
    say({ told: 'hello', guest, version: 'made up', seed: 1 });
    for (const part of Object.keys(state) as (keyof PageState)[]) {
      say({ told: part, now: state[part] } as Told);
    }
    socket.on('message', (data: Buffer) => {
      const { id, ask } = JSON.parse(data.toString()) as Asked;
      asks.push(ask);
      const refused = refuse(ask);
      say({ told: 'answer', id, refused });
      if (refused === null) apply(ask);
    });
  });

  const apply = (ask: Ask): void => {
    if (ask.ask === 'seat') {
      const { seat } = ask;
      const change = (one: PageState['seats'][number]) =>
        ({ ...one, mix: { ...one.mix, ...keysOf(ask, one.mix) } }) as typeof one;
      tell({ told: 'seats', now: state.seats.map((one, i) => (i === seat ? change(one) : one)) });
    } else if (ask.ask === 'room') {
      tell({ told: 'room', now: { ...state.room, ...keysOf(ask, state.room) } });
    } else if (ask.ask === 'press' || ask.ask === 'release') {
      const level = ask.ask === 'press' ? Math.round(200 * ask.strength) : 0;
      pressed.seats[ask.seat]!.pads[ask.pad] = level;
      pressed.seats[ask.seat]!.touched[ask.pad] = ask.ask === 'press' ? 1 : 0;
    }
  };
  const levels = movingLevels(state.seats);
  const pressed = structuredClone(levels(0));
  for (const seat of pressed.seats) {
    for (const bytes of [seat.pads, seat.touched]) bytes.fill(0);
    seat.notes.fill(255);
  }
  const begun = performance.now();
  const timer = setInterval(
    () => {
      pressed.frame++;
      all(encodeLevels(rate === 0 ? pressed : levels((performance.now() - begun) / 1000)));
    },
    1000 / (rate === 0 ? 30 : rate),
  );
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  const port = typeof address === 'object' ? (address?.port ?? 0) : 0;
  return {
    url: `http://127.0.0.1:${String(port)}/`,
    asks,
    tell,
    cut() {
      for (const socket of sockets.clients) socket.terminate();
    },
    async close() {
      clearInterval(timer);
      for (const socket of sockets.clients) socket.terminate();
      sockets.close();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

/** What of a wish is a key of something. */
function keysOf<Whole extends object>(ask: Ask, whole: Whole): Partial<Whole> {
  return Object.fromEntries(Object.entries(ask).filter(([key]) => key in whole)) as Partial<Whole>;
}

/** The page's files, built in memory by the options that the program is built with. */
async function bundled(): Promise<ReadonlyMap<string, Uint8Array>> {
  const from = fileURLToPath(new URL('../../../src/page/browser/', import.meta.url));
  const { outputFiles } = await build({
    absWorkingDir: from,
    entryPoints: ['index.html', 'page.tsx', 'page.css', 'sound/worklet.ts', 'take/worker.ts'],
    outdir: '/',
    ...{ bundle: true, write: false, format: 'esm', minify: true, logLevel: 'error' },
    loader: { '.html': 'copy' },
    ...{ jsx: 'automatic', jsxImportSource: 'preact' },
  });
  return new Map(outputFiles.map(({ path, contents }) => [path, contents]));
}
