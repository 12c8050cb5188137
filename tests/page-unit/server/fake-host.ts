import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { request, type IncomingHttpHeaders } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { WebSocket } from 'ws';
import type { Order } from '../../../src/page/host/carry-out.js';
import type {
  FromPageThread,
  PageLink,
  PageThreadData,
  ThreadSeat,
  ToPageThread,
} from '../../../src/page/host/messages.js';
import type { Ask } from '../../../src/page/link/asks.js';
import { SeatWriter, VoicesWriter } from '../../../src/page/link/memory-write.js';
import { seatMemory, voiceMemory } from '../../../src/page/link/memory.js';
import type { PageSeat } from '../../../src/page/link/state.js';
import type { Told } from '../../../src/page/link/told.js';
import type { Guides, GuidesOut } from '../../../src/page/server/guides/guides.js';
import { LIMITS, type Limits } from '../../../src/page/server/limits.js';
import { servePages } from '../../../src/page/server/page-server.js';
import { madeUpSeat, numbered } from '../../page/support/made-up-seat.js';
import { bassPlan } from '../../support/bass.js';

/** What the page's files hold in these tests. */
export const PAGE =
  '<!doctype html><title>page</title><p id="said"></p><script type="module" src="page.js"></script>';

/** A seat with the touch bass, and nothing heard yet. */
export const bassSeat = (name: string): PageSeat =>
  madeUpSeat(name, 'bass-4x4', { plugged: 'waiting', screen: true, build: null });

/** The same seat as the page's thread knows it: its slice is 100 more than its slot. */
export function threadSeat(name: string, slot: number): ThreadSeat {
  const plan = { ...bassPlan(), logic: undefined };
  const memory = seatMemory({ slice: 100 + slot, pads: 20, strings: 4 });
  return { id: slot, slot, name, memory, plan };
}

export const NO_GUIDES: Guides = {
  begin: () => 'Nothing is guided in this test.',
  do: () => 'Nothing is guided in this test.',
  built: () => undefined,
  scan: () => undefined,
  gap: () => undefined,
  watch: () => undefined,
  left: () => undefined,
  looked: () => undefined,
  wake: () => undefined,
  needs: [],
};

export interface HostOptions {
  readonly seats?: readonly string[];
  readonly limits?: Partial<Limits>;
  readonly network?: boolean;
  readonly port?: number;
  readonly makeGuides?: (out: GuidesOut) => Guides;
  /** What the page's script does; left out: nothing. */
  readonly script?: string;
  /** How an order is answered; undefined: not at all. */
  readonly answer?: (order: Order) => string | null | undefined;
}

/** A playing thread that only writes down what it is asked, with a real server on a real port. */
export async function startHost(options: HostOptions = {}) {
  const { seats = ['north', 'south'], limits, network = false, port = 0 } = options;
  const folder = mkdtempSync(join(tmpdir(), 'page-server-'));
  const files = join(folder, 'page');
  for (const part of ['sound', 'take']) mkdirSync(join(files, part), { recursive: true });
  writeFileSync(join(files, 'index.html'), PAGE);
  writeFileSync(join(files, 'page.js'), options.script ?? '"page";');
  writeFileSync(join(files, 'page.css'), 'p{}');
  writeFileSync(join(files, 'sound/worklet.js'), '"worklet";');
  writeFileSync(join(files, 'take/worker.js'), '"worker";');
  writeFileSync(join(files, 'page.js.map'), '{"secret":1}');
  const takes = join(folder, 'recordings');
  const voices = voiceMemory();
  const seated = seats.map(threadSeat);
  const data: PageThreadData = {
    voices,
    seats: seated,
    folder,
    port,
    network,
    takeFolders: [takes],
    version: '1.2.3',
    seed: 7,
    origin: performance.timeOrigin,
    state: {
      room: {
        name: 'demo',
        voices: 64,
        scale: null,
        duck: 9,
        playing: true,
        rulesNames: ['plain'],
        controls: [],
      },
      seats: numbered(seats.map(bassSeat)),
      engines: [],
      notices: [],
    },
  };
  const orders: Order[] = [];
  const told: FromPageThread[] = [];
  let links: readonly PageLink[] = [];
  const server = await servePages({
    data,
    files,
    limits: { ...LIMITS, ...limits },
    makeGuides: options.makeGuides ?? (() => NO_GUIDES),
    send: (message) => {
      told.push(message);
      if (message.type === 'serving') links = message.links;
      if (message.type !== 'order') return;
      orders.push(message.order);
      const refused = options.answer ? options.answer(message.order) : null;
      const { id } = message;
      if (refused !== undefined) queueMicrotask(() => hear({ type: 'answer', id, refused }));
    },
  });
  const hear = (message: Exclude<ToPageThread, { type: 'close' }>): void => {
    server.hear(message);
  };
  let closed = false;
  const close = async (): Promise<void> => {
    if (!closed) await server.close();
    closed = true;
  };
  onTestFinished(async () => {
    await close();
    rmSync(folder, { recursive: true });
  });
  const at = Number(new URL(links[0]!.url).port);
  const notices = (): string[] =>
    told.flatMap((one) => (one.type === 'notice' ? [one.notice.what] : []));
  const writers = seated.map(({ memory }) => new SeatWriter(memory));
  const sounding = new VoicesWriter(voices);
  return {
    port: at,
    links,
    orders,
    told,
    notices,
    hear,
    close,
    folder,
    takes,
    data,
    writers,
    sounding,
  };
}

export type Host = Awaited<ReturnType<typeof startHost>>;

export interface Reply {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
}

/** Asks with a path and headers exactly as they are given. */
export function get(
  port: number,
  path: string,
  headers: Record<string, string> = {},
  method = 'GET',
): Promise<Reply> {
  return new Promise((done, failed) => {
    const one = request({ host: '127.0.0.1', port, path, method, headers }, (response) => {
      const parts: Buffer[] = [];
      response.on('data', (part: Buffer) => parts.push(part));
      response.on('end', () => {
        const body = Buffer.concat(parts).toString('utf8');
        done({ status: response.statusCode!, headers: response.headers, body });
      });
    });
    one.on('error', failed);
    one.end();
  });
}

export const json = (reply: Reply): unknown => JSON.parse(reply.body);

/** A page as a browser would be one, that keeps all that it was told. */
export class FakePage {
  readonly told: Told[] = [];
  readonly frames: Uint8Array[] = [];
  closed: { readonly code: number; readonly reason: string } | null = null;
  status: number | null = null;
  readonly socket: WebSocket;
  #id = 0;
  readonly #waiting = new Set<() => void>();

  constructor(port: number, headers: Record<string, string> = {}, path = '/link') {
    this.socket = new WebSocket(`ws://127.0.0.1:${String(port)}${path}`, {
      headers: { origin: `http://127.0.0.1:${String(port)}`, ...headers },
    });
    this.socket.on('message', (bytes: Buffer, binary) => {
      if (binary) this.frames.push(Uint8Array.from(bytes));
      else this.told.push(JSON.parse(bytes.toString('utf8')) as Told);
      this.#changed();
    });
    this.socket.on('close', (code, reason) => {
      this.closed = { code, reason: reason.toString('utf8') };
      this.#changed();
    });
    this.socket.on('unexpected-response', (_, response) => {
      this.status = response.statusCode ?? 0;
      this.socket.terminate();
      this.#changed();
    });
    this.socket.on('error', () => undefined);
    onTestFinished(() => {
      this.socket.terminate();
    });
  }

  /** Resolves with what `found` finds, as soon as it does. */
  async until<Found>(found: () => Found | null | undefined | false): Promise<Found> {
    for (;;) {
      const one = found();
      if (one !== null && one !== undefined && one !== false) return one;
      await new Promise<void>((changed) => this.#waiting.add(changed));
    }
  }

  #changed(): void {
    for (const changed of this.#waiting) changed();
    this.#waiting.clear();
  }

  /** What it was told last of a part. */
  last<Part extends Told['told']>(part: Part): Extract<Told, { told: Part }> | undefined {
    return this.told.findLast((one): one is Extract<Told, { told: Part }> => one.told === part);
  }

  greeted(): Promise<Extract<Told, { told: 'hello' }>> {
    return this.until(() => this.last('takes') && this.last('hello'));
  }

  /** Resolves with the answer. */
  async ask(ask: Ask | Record<string, unknown>): Promise<string | null> {
    await this.greeted();
    const id = this.#id++;
    this.socket.send(JSON.stringify({ id, ask }));
    const answer = await this.until(() =>
      this.told.find((one) => one.told === 'answer' && one.id === id),
    );
    return answer.told === 'answer' ? answer.refused : '';
  }
}

/** Waits in the real world until something holds, for what no page is told of. */
export async function eventually(holds: () => boolean): Promise<void> {
  while (!holds()) await new Promise((turn) => setTimeout(turn, 2));
}
