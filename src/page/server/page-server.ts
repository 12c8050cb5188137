import { createServer, type IncomingMessage } from 'node:http';
import type { Duplex } from 'node:stream';
import { WebSocketServer, type RawData, type WebSocket } from 'ws';
import type { FromPageThread, PageThreadData, ToPageThread } from '../host/messages.js';
import { Budget } from '../../time/budget.js';
import { CLOSING } from '../link/closing.js';
import { hear } from './asking.js';
import { makeGate, NO_KEY } from './gate.js';
import type { Guides, GuidesOut } from './guides/guides.js';
import { makeKeys } from './keys.js';
import { LIMITS, type Limits } from './limits.js';
import { linksTo, listen } from './listen.js';
import { namedFiles } from './named-files.js';
import { Pace } from './pace.js';
import { Page } from './page.js';
import { readPageFiles } from './page-files.js';
import { answering } from './requests.js';
import { RoomServer } from './room-server.js';

/** What serves the pages of a room. */
export interface PageServer {
  /** Takes in what the playing thread says. */
  hear(message: Exclude<ToPageThread, { type: 'close' }>): void;
  /** Keeps what is recorded, tells the pages that the room has ended, and lets go of the port. */
  close(): Promise<void>;
}

export interface PageServerOptions {
  readonly data: PageThreadData;
  readonly send: (message: FromPageThread) => void;
  readonly makeGuides: (out: GuidesOut) => Guides;
  /** Where the page's files are, as they were built. */
  readonly files: string;
  readonly limits?: Limits;
}

/** Where pages connect to. */
const LINK = '/link';
const WAKE_MS = 100;
const SECOND_MS = 1_000;
const TAKES_MS = 5_000;
/** Pages, and what they fetch meanwhile. */
const MOST_CONNECTIONS = 512;
const OVER = 'The room has ended.';
const FULL = 'As many pages are open as can be served. Close one, then load this one again.';

/**
 * Serves a room's page, and begins to tell pages what happens.
 *
 * @throws the system's error where no port can be had
 */
export async function servePages(options: PageServerOptions): Promise<PageServer> {
  const { data, send, makeGuides, limits = LIMITS } = options;
  const roomTime = (): number =>
    Math.floor((performance.timeOrigin - data.origin + performance.now()) * 1_000);
  const room = new RoomServer(data, send, makeGuides, roomTime);
  const keys = data.network ? makeKeys() : null;
  let port = 0;
  const gate = makeGate(keys, () => port);
  const named = namedFiles(data.folder, (kind) => {
    const seats = room.state.get('seats');
    if (kind === 'rules') return seats.map(({ rules }) => rules.name);
    return kind === 'build' ? seats.flatMap(({ build }) => (build === null ? [] : [build])) : [];
  });
  const started = performance.now();
  const budgets = {
    all: new Budget(limits.allAsks, started),
    guests: new Budget(limits.guestAsks, started),
  };
  const files = readPageFiles(options.files);
  const server = createServer(
    {
      headersTimeout: 10_000,
      requestTimeout: 30_000,
      keepAliveTimeout: 5_000,
      connectionsCheckingInterval: 2_000,
    },
    answering({ files, gate, takes: room.takes, named }),
  );
  server.maxConnections = MOST_CONNECTIONS;
  // Such as too many open files: this one is not served, and the next one may be.
  server.on('error', () => undefined);
  const sockets = new WebSocketServer({
    noServer: true,
    maxPayload: limits.messageBytes,
    perMessageDeflate: false,
    clientTracking: false,
  });

  server.on('upgrade', (request: IncomingMessage, socket: Duplex, head: Buffer) => {
    socket.on('error', () => socket.destroy());
    const [path] = (request.url ?? '').split('?', 1);
    if (path !== LINK || gate.refused(request) || gate.foreign(request)) {
      socket.end('HTTP/1.1 403 Forbidden\r\nConnection: close\r\nContent-Length: 0\r\n\r\n');
      return;
    }
    sockets.handleUpgrade(request, socket, head, (one) => {
      join(one, request);
    });
  });

  function join(socket: WebSocket, request: IncomingMessage): void {
    const now = performance.now();
    const role = gate.roleOf(request);
    const page = new Page(socket, role ?? 'guest', limits, now, room.pages.size);
    socket.on('error', () => undefined);
    if (role === null) {
      page.close(CLOSING.key, `${NO_KEY.what}.`);
      return;
    }
    if (room.pages.size >= limits.pages) {
      page.close(CLOSING.full, FULL);
      return;
    }
    socket.on('close', () => {
      room.leave(page);
      pace.update();
    });
    socket.on('message', (data: RawData, binary: boolean) => {
      const text = binary ? null : (data as Buffer).toString('utf8');
      hear(page, text, budgets, (...asked) => room.carryOut(...asked), performance.now());
      if (page.closing) room.leave(page);
      pace.update();
    });
    room.join(page, now);
    pace.update();
  }

  const pace = new Pace(room, roomTime);
  const timers = [
    setInterval(() => {
      room.wake(performance.now());
    }, WAKE_MS),
    setInterval(() => {
      room.tellRecording();
    }, SECOND_MS),
    setInterval(() => {
      if (room.pages.size > 0) void room.takes.refresh();
    }, TAKES_MS),
  ];

  port = await listen(server, data.port, data.network);
  await room.takes.refresh();
  send({ type: 'serving', links: linksTo(port, keys) });

  return {
    hear: (message) => {
      room.hear(message);
    },
    async close() {
      timers.forEach(clearInterval);
      pace.stop();
      await room.end();
      for (const page of room.pages) page.close(CLOSING.over, OVER);
      const gone = new Promise((done) => server.close(done));
      server.closeAllConnections();
      await gone;
    },
  };
}
