import { createSocket, type Socket } from 'node:dgram';
import type { AddressInfo } from 'node:net';
import type { Notice, Tell } from '../../../src/ports/contracts.js';
import { nodeTimers, type Timers } from '../../../src/ports/live-clock.js';

/** Node's timers, fifty times as fast, so that a retry after two seconds takes 40 ms. */
export const hurried: Timers = {
  ...nodeTimers,
  now: () => nodeTimers.now() * 50,
  after: (ms, call) => nodeTimers.after(ms / 50, call),
};

/** Collects what people would be told; `waitFor` resolves as soon as a fitting notice is there. */
export function listener(): {
  tell: Tell;
  notices: Notice[];
  waitFor: (pattern: RegExp) => Promise<Notice>;
} {
  const notices: Notice[] = [];
  const waiting = new Set<() => void>();
  return {
    notices,
    tell(notice) {
      notices.push(notice);
      for (const look of [...waiting]) look();
    },
    waitFor: (pattern) =>
      new Promise((resolve) => {
        const look = (): void => {
          const found = notices.find(({ what }) => pattern.test(what));
          if (!found) return;
          waiting.delete(look);
          resolve(found);
        };
        waiting.add(look);
        look();
      }),
  };
}

/** A plain socket of the other side; `next` is the next packet that comes or has come. */
export async function otherSide(port = 0): Promise<{
  socket: Socket;
  port: number;
  next: () => Promise<Buffer>;
  close: () => Promise<void>;
}> {
  const socket = createSocket('udp4');
  const come: Buffer[] = [];
  const wanted: ((packet: Buffer) => void)[] = [];
  socket.on('message', (packet) => {
    // The question whether anybody listens: an empty bundle, 16 bytes.
    if (packet.length === 16 && packet.subarray(0, 7).toString() === '#bundle') return;
    const want = wanted.shift();
    if (want) want(packet);
    else come.push(packet);
  });
  await new Promise<void>((resolve, reject) => {
    socket.once('error', reject);
    socket.bind(port, '127.0.0.1', resolve);
  });
  return {
    socket,
    port: (socket.address() as AddressInfo).port,
    next: () => {
      const packet = come.shift();
      return packet ? Promise.resolve(packet) : new Promise((resolve) => wanted.push(resolve));
    },
    close: () =>
      new Promise((resolve) => {
        socket.close(() => {
          resolve();
        });
      }),
  };
}
