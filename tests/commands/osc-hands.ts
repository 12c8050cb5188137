import { createSocket, type Socket } from 'node:dgram';
import { once } from 'node:events';
import { toBuffer } from 'osc-min';
import type { Scan } from '../../src/wire/scan.js';
import { readWithBoth, type ReadMessage } from '../engine/osc-readers.js';

const sockets = new Set<Socket>();
const timers = new Set<NodeJS.Timeout>();

/** Closes every socket that these helpers opened. */
export function closeSockets(): void {
  for (const timer of timers) clearInterval(timer);
  for (const socket of sockets) socket.close();
  timers.clear();
  sockets.clear();
}

async function bound(address = '127.0.0.1'): Promise<Socket> {
  const socket = createSocket('udp4');
  sockets.add(socket);
  socket.bind(0, address);
  await once(socket, 'listening');
  return socket;
}

/** A message as it came, and when, in milliseconds of this process. */
export type Heard = ReadMessage & { readonly ms: number };

/** What the rooms of these tests send as a silence. */
const SILENCES = new Set(['/silence', '/hush']);

/** An OSC receiver that reads with node-osc and osc-min, which know nothing of this project. */
export interface Receiver {
  readonly port: number;
  /** But for the silence as the receiver is found, which comes before all else. */
  readonly heard: readonly Heard[];
  /** When it was silenced as it was found, in milliseconds of this process; each time. */
  readonly greeted: readonly number[];
  /** Resolves once `enough` is true of what was heard. */
  heardThat(enough: (heard: readonly Heard[]) => boolean): Promise<void>;
}

export async function receiver(): Promise<Receiver> {
  const socket = await bound();
  const heard: Heard[] = [];
  const greeted: number[] = [];
  const looks = new Set<() => void>();
  socket.on('message', (packet) => {
    const ms = performance.now();
    for (const message of readWithBoth(packet)) {
      if (heard.length === 0 && SILENCES.has(message.address)) greeted.push(ms);
      else heard.push({ ...message, ms });
    }
    for (const look of looks) look();
  });
  return {
    port: socket.address().port,
    heard,
    greeted,
    heardThat: (enough) =>
      new Promise((resolve) => {
        const look = (): void => {
          if (!enough(heard)) return;
          looks.delete(look);
          resolve();
        };
        looks.add(look);
        look();
      }),
  };
}

/** A board that sends OSC; its packets are osc-min's. */
export interface Board {
  send(address: string, seat: string, ...values: readonly number[]): void;
  raw(bytes: Uint8Array): void;
  readonly port: number;
  /** Sends scans as `/pads` at the pace of their times; resolves after the last, or `stop`. */
  play(seat: string, scans: Iterable<Scan>): Promise<void>;
  /** Sends no more of what it plays. */
  stop(): void;
  /** Resolves when the system has taken all that was sent; on this computer it is there then. */
  settled(): Promise<void>;
}

/** @param address its own, of this computer */
export async function board(port: number, address = '127.0.0.1'): Promise<Board> {
  const socket = await bound(address);
  let stop: () => void = () => undefined;
  let underway = 0;
  let settle: () => void = () => undefined;
  const raw = (bytes: Uint8Array): void => {
    underway++;
    socket.send(bytes, port, '127.0.0.1', () => {
      if (--underway === 0) settle();
    });
  };
  const send: Board['send'] = (address, seat, ...values) => {
    const numbers = values.map((value) => ({ type: 'integer' as const, value }));
    const packet = toBuffer({ address, args: [{ type: 'string', value: seat }, ...numbers] });
    raw(new Uint8Array(packet.buffer, packet.byteOffset, packet.byteLength));
  };
  return {
    send,
    raw,
    port: socket.address().port,
    stop: () => {
      stop();
    },
    settled: () =>
      new Promise((resolve) => {
        if (underway === 0) resolve();
        else settle = resolve;
      }),
    play: (seat, scans) =>
      new Promise((resolve) => {
        const rest = scans[Symbol.iterator]();
        let next = rest.next();
        const begun = performance.now();
        stop = () => {
          clearInterval(timer);
          resolve();
        };
        const timer = setInterval(() => {
          while (!next.done && next.value.t / 1_000 <= performance.now() - begun) {
            send('/pads', seat, next.value.inputs[0]!, ...next.value.raws);
            next = rest.next();
          }
          if (next.done) stop();
        }, 2);
        timers.add(timer);
      }),
  };
}
