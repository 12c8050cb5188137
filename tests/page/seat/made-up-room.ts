import { createServer } from 'node:http';
import { readFile } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { WebSocketServer, type WebSocket } from 'ws';
import { asked, type Ask } from '../../../src/page/link/asks.js';
import type { PageState } from '../../../src/page/link/state.js';
import type { Told } from '../../../src/page/link/told.js';
import { MadeUpLevels } from './made-up-levels.js';
import { madeUpState, madeUpVerdicts } from './made-up-state.js';

const browser = fileURLToPath(new URL('../../../src/page/browser/', import.meta.url));
const POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; worker-src 'self'; font-src 'none'";
const TYPES: Readonly<Record<string, string>> = {
  js: 'text/javascript',
  css: 'text/css',
  html: 'text/html; charset=utf-8',
};

/** Serves the real page from a room that is made up, and writes down what the page asks for. */
export class MadeUpRoom {
  readonly asks: Ask[] = [];
  /** What is answered to the next wishes of a kind: words that refuse them. */
  readonly refuse = new Map<Ask['ask'], string>();
  /** Called with each wish that is not refused. */
  onAsk: (ask: Ask) => void = () => undefined;
  guest = false;
  readonly state: PageState = madeUpState();
  watched: number | null = null;
  private readonly sockets = new Set<WebSocket>();
  private refusing = false;
  private quit: () => Promise<void> = () => Promise.resolve();

  /** Begins to serve, on the loopback address; resolves to the page's address. */
  async serve(): Promise<string> {
    const files = await bundle();
    const server = createServer((request, response) => {
      const name =
        new URL(request.url ?? '/', 'http://localhost').pathname.slice(1) || 'index.html';
      const file = files.get(name);
      response.setHeader('content-security-policy', POLICY);
      response.writeHead(file ? 200 : 404, {
        'content-type': TYPES[name.split('.').at(-1)!] ?? '',
      });
      response.end(file);
    });
    const sockets = new WebSocketServer({ server });
    sockets.on('connection', (socket) => {
      this.greet(socket);
    });
    await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
    const levels = new MadeUpLevels(this.state.seats);
    let last = performance.now();
    const timer = setInterval(() => {
      const now = performance.now();
      const frames = levels.next(Math.min(500, now - last), this.watched);
      last = now;
      for (const socket of this.sockets) for (const frame of frames) socket.send(frame);
    }, 33);
    this.quit = async () => {
      clearInterval(timer);
      for (const socket of sockets.clients) socket.terminate();
      sockets.close();
      await new Promise((done) => server.close(done));
    };
    return `http://127.0.0.1:${String((server.address() as AddressInfo).port)}/`;
  }

  /** Breaks off every page's connection, as when the computer falls asleep. */
  cut(): void {
    this.refusing = true;
    for (const socket of this.sockets) socket.terminate();
  }

  close(): Promise<void> {
    return this.quit();
  }

  /** Tells every page a part of the state anew. */
  tell<Part extends keyof PageState>(part: Part, now: PageState[Part]): void {
    Object.assign(this.state, { [part]: now });
    for (const socket of this.sockets) send(socket, { told: part, now } as Told);
  }

  /** Changes one seat. */
  change(seat: number, more: Partial<PageState['seats'][number]>): void {
    // The made-up levels follow, as they hold the same array.
    const seats = this.state.seats as PageState['seats'][number][];
    seats[seat] = { ...seats[seat]!, ...more };
    this.tell('seats', seats);
  }

  private greet(socket: WebSocket): void {
    if (this.refusing) {
      socket.terminate();
      return;
    }
    this.sockets.add(socket);
    socket.on('close', () => this.sockets.delete(socket));
    send(socket, { told: 'hello', guest: this.guest, version: 'made-up', seed: 1 });
    for (const [told, now] of Object.entries(this.state)) send(socket, { told, now } as Told);
    socket.on('message', (data: Buffer) => {
      const { id, ask } = asked.parse(JSON.parse(data.toString('utf8')));
      this.asks.push(ask);
      const refused = this.refuse.get(ask.ask) ?? null;
      if (refused === null) this.carryOut(ask, socket);
      send(socket, { told: 'answer', id, refused });
    });
  }

  private carryOut(ask: Ask, socket: WebSocket): void {
    if (ask.ask === 'watch') {
      this.watched = ask.seat;
      const seat = ask.seat === null ? undefined : this.state.seats[ask.seat];
      if (ask.seat !== null && seat) {
        send(socket, { told: 'verdicts', seat: ask.seat, pads: madeUpVerdicts(seat) });
      }
    }
    this.onAsk(ask);
  }
}

function send(socket: WebSocket, told: Told): void {
  socket.send(JSON.stringify(told));
}

/** The page as it is bundled for the program. */
async function bundle(): Promise<Map<string, string | Uint8Array>> {
  const { outputFiles } = await build({
    absWorkingDir: browser,
    entryPoints: ['page.tsx', 'page.css', 'sound/worklet.ts', 'take/worker.ts'],
    outdir: browser,
    write: false,
    bundle: true,
    format: 'esm',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    logLevel: 'error',
  });
  const files = new Map<string, string | Uint8Array>();
  for (const { path, contents } of outputFiles) files.set(path.slice(browser.length), contents);
  files.set('index.html', await readFile(`${browser}index.html`, 'utf8'));
  return files;
}
