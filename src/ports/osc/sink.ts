import { createSocket, type Socket } from 'node:dgram';
import { lookup } from 'node:dns';
import { isIP } from 'node:net';
import type { Tell } from '../contracts.js';
import { nodeTimers, type Timers } from '../live-clock.js';
import { watchReceiver } from './watch.js';

export interface OscSinkOptions {
  /** A numeric address, or a name that is looked up once. */
  readonly host: string;
  readonly port: number;
  readonly tell: Tell;
  readonly timers?: Timers;
  /** What the receiver must hear before anything else: as it is found, and each time it is back. */
  readonly opening?: () => readonly Uint8Array[];
  /** Finds the address behind a name. */
  readonly resolve?: typeof lookup;
}

export interface OscSink {
  /** Never throws and never waits; what cannot be sent is gone. */
  send(packet: Uint8Array): void;
  /** Resolves when the system has taken all that was sent. */
  close(): Promise<void>;
}

const RETRY_MS = 5_000;
/** The same receiver's troubles are told this far apart at least. */
const PAUSE_MS = 5_000;

/**
 * Sends OSC packets to one receiver over UDP.
 *
 * The socket is not connected: a connected one reports a receiver that is not there at each send. A
 * second one asks now and then instead, so that a receiver that is not running is told of.
 */
export function oscSink(options: OscSinkOptions): OscSink {
  const { host, port, tell, timers = nodeTimers, resolve = lookup } = options;
  const { opening = () => [] } = options;
  const where = `OSC ${host}:${String(port)}`;
  let socket: Socket | undefined;
  let address = host;
  let failing = '';
  let quietUntil = -Infinity;
  let pending = 0;
  let closed = false;
  let drained: () => void = () => undefined;
  let cancel: () => void = () => undefined;
  let unwatch: () => void = () => undefined;

  function onSent(error: Error | null): void {
    pending--;
    if (error) fail(error);
    else if (failing !== '') recover();
    if (pending === 0) drained();
  }

  function fail(error: NodeJS.ErrnoException): void {
    const code = error.code ?? error.message;
    if (failing === code || closed) return;
    failing = code;
    if (timers.now() < quietUntil) return;
    quietUntil = timers.now() + PAUSE_MS;
    tell({ level: 'warn', what: `Notes do not get out (${code})`, where, next: nextFor(code) });
  }

  function recover(): void {
    if (timers.now() < quietUntil || closed) return;
    failing = '';
    tell({ level: 'info', what: 'Notes get out again', where });
    greet();
  }

  function send(packet: Uint8Array): void {
    if (!socket || closed) return;
    pending++;
    socket.send(packet, port, address, onSent);
  }

  function greet(): void {
    for (const packet of opening()) send(packet);
  }

  function find(): void {
    const family = isIP(host);
    if (family !== 0) {
      open(family);
      return;
    }
    resolve(host, { verbatim: false }, (error, found, kind) => {
      if (closed) return;
      if (error) {
        fail(error);
        cancel = timers.after(RETRY_MS, find);
        return;
      }
      address = found;
      if (failing !== '') recover();
      open(kind);
    });
  }

  function open(family: number): void {
    const type = family === 6 ? 'udp6' : 'udp4';
    const own = createSocket({
      type,
      // The address is numeric by now; Node would still ask the resolver at each send.
      lookup: (name, _options, found) => {
        found(null, name, family);
      },
    });
    own.on('error', (error: NodeJS.ErrnoException) => {
      fail(error);
      if (closed || socket !== own) return;
      socket = undefined;
      release(own);
      cancel = timers.after(RETRY_MS, find);
    });
    own.bind(0, () => {
      if (type === 'udp4') own.setBroadcast(true);
    });
    own.unref();
    socket = own;
    unwatch();
    unwatch = watchReceiver({ address, type, port, where, tell, timers, onBack: greet });
    greet();
  }

  find();
  return {
    send,
    async close() {
      if (closed) return;
      closed = true;
      cancel();
      unwatch();
      if (pending > 0) await new Promise<void>((done) => (drained = done));
      const own = socket;
      socket = undefined;
      if (own)
        await new Promise<void>((done) => {
          release(own, done);
        });
    },
  };
}

function release(socket: Socket, done: () => void = () => undefined): void {
  try {
    socket.close(done);
  } catch {
    done();
  }
}

function nextFor(code: string): string {
  if (code === 'ENOTFOUND' || code === 'EAI_AGAIN') {
    return 'Check the name of the receiver in the room file, or write its numeric address';
  }
  return 'Check the network and the address of the receiver; sending goes on by itself';
}
