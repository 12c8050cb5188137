import { createSocket, type RemoteInfo, type Socket } from 'node:dgram';
import { networkInterfaces } from 'node:os';
import type { Tell } from '../contracts.js';
import type { Timers } from '../live-clock.js';
import type { NetworkBudget } from './network-budget.js';
import { portHolder } from './udp-table.js';

export interface ListenOptions {
  /** 0: any free one. */
  readonly port: number;
  readonly host: string;
  readonly tell: Tell;
  readonly timers: Timers;
  /** Called with each datagram that the budget admits. */
  readonly onPacket: (bytes: Uint8Array, from: RemoteInfo) => void;
  /** What each sender may ask for, over all ports that share it. */
  readonly budget: NetworkBudget;
  /** Called each time the socket is open. */
  readonly onOpen: (port: number) => void;
  /** The open socket failed; it is opened again by itself. */
  readonly onLost: () => void;
  /** Who sends here, in messages; left out: boards. */
  readonly senders?: Senders;
}

/** How messages speak of those who send to a port. */
export interface Senders {
  /** In the plural. */
  readonly name: string;
  /** Where their port is set, as in "give … another port". */
  readonly set: string;
}

const BOARDS: Senders = { name: 'boards', set: 'the seat and its board' };

export interface Listening {
  close(): Promise<void>;
}

const RETRY_MS = 2_000;

/**
 * What the system is asked to keep for us while we are busy. On Linux 2,520 datagrams of 100 bytes
 * were measured to fit: two seconds of twelve boards that send 100 times a second. A system whose
 * own limit is lower gives less.
 */
const RECEIVE_BUFFER = 1 << 20;

/** Keeps a UDP port open: a port in use is told once and tried again every two seconds. */
export function listenUdp(options: ListenOptions): Listening {
  const { port, host, tell, timers, onPacket, budget, onOpen, onLost, senders = BOARDS } = options;
  const where = `UDP port ${String(port)}`;
  let socket: Socket | undefined;
  let cancel: () => void = () => undefined;
  let closed = false;
  let told = '';

  function open(): void {
    const own = createSocket('udp4');
    let bound = false;
    socket = own;
    own.on('message', (bytes, from) => {
      if (budget.admits(from.address, bytes)) onPacket(bytes, from);
    });
    own.on('error', (error: NodeJS.ErrnoException) => {
      if (closed || socket !== own) return;
      release(own);
      socket = undefined;
      if (bound) onLost();
      cancel = timers.after(RETRY_MS, open);
      if (told === error.code) return;
      told = error.code ?? error.message;
      void complain(error);
    });
    own.bind({ port, address: host, exclusive: true }, () => {
      bound = true;
      widen(own);
      const { port: real } = own.address();
      const again = told !== '';
      told = '';
      tell({
        level: 'info',
        what: `Listening for ${senders.name}${again ? ' again' : ''}`,
        where: `UDP port ${String(real)}`,
        next: reachedAt(host, real, senders.name),
      });
      onOpen(real);
    });
  }

  async function complain(error: NodeJS.ErrnoException): Promise<void> {
    const retry = 'it is tried again every two seconds';
    if (error.code === 'EADDRINUSE') {
      const holder = await portHolder(port);
      if (closed || told === '') return;
      tell({
        level: 'error',
        what: `UDP port ${String(port)} is in use by ${holder ?? 'another program, perhaps a second pluckwork'}`,
        where,
        next: `End that program, or give ${senders.set} another port; ${retry}`,
      });
      return;
    }
    const next =
      error.code === 'EACCES'
        ? `Choose a port from 1024 on for ${senders.set}`
        : error.code === 'EADDRNOTAVAIL'
          ? `Check that this computer has the address ${host}; ${retry}`
          : `Check the network of this computer; ${retry}`;
    const what = `UDP port ${String(port)} cannot be used (${error.code ?? error.message})`;
    tell({ level: 'error', what, where, next });
  }

  open();
  return {
    close() {
      closed = true;
      cancel();
      const own = socket;
      socket = undefined;
      return new Promise((resolve) => {
        if (own) release(own, resolve);
        else resolve();
      });
    },
  };
}

function widen(socket: Socket): void {
  try {
    socket.setRecvBufferSize(RECEIVE_BUFFER);
  } catch {
    // The system's own size stays; what overflows is counted either way.
  }
}

function release(socket: Socket, done: () => void = () => undefined): void {
  try {
    socket.close(done);
  } catch {
    done();
  }
}

/** What to type in on the boards. */
function reachedAt(host: string, port: number, senders: string): string {
  if (host !== '0.0.0.0') return `Let the ${senders} send to ${host}, port ${String(port)}`;
  const own = ownAddresses();
  if (own.length === 0) return 'This computer is in no network, so only its own programs can send';
  return `Let the ${senders} send to ${own.join(' or ')}, port ${String(port)}`;
}

/** The IPv4 addresses by which others in the network reach this computer. */
export function ownAddresses(): string[] {
  return Object.values(networkInterfaces()).flatMap((addresses) =>
    (addresses ?? []).flatMap(({ family, internal, address }) =>
      family === 'IPv4' && !internal ? [address] : [],
    ),
  );
}
