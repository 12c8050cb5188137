import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { toBuffer } from 'osc-min';
import { seededNumbers } from '../../src/demo/gestures.js';

/*
 * A class's boards in a process of their own, each with an address of its own: `tsx boards.ts JSON`. They send
 * scans by UDP at a steady rate while hands pluck one pad at a time, and now and then one of them stops for some
 * seconds and comes back. Tells its parent of each pluck as it is sent.
 */

/** What the boards are to do. */
export interface BoardsPlan {
  readonly port: number;
  /** By board: its seat's name, how many inputs it has, and which of them sound when touched alone. */
  readonly boards: readonly { seat: string; inputs: number; sounding: readonly number[] }[];
  /** Scans a second. */
  readonly rate: number;
  /** How often one of the boards stops, and for how long, in ms; 0: never. */
  readonly stopEvery: number;
  readonly stopFor: number;
}

/** What their parent is told; times in ms of the clock that all processes of a computer share. */
export type BoardsSaid =
  | { readonly said: 'pluck'; readonly board: number; readonly at: number }
  | { readonly said: 'stopped' | 'back'; readonly board: number; readonly at: number }
  | { readonly said: 'ended' };

export const REST = 1_000;
export const TOUCHED = 1_600;

/** A touch in scans: the finger lands with the first. */
const TOUCH = 6;
/** Nothing is touched for so long after a board came back: a pad must be seen at rest before it plays. */
const SETTLE_MS = 1_500;

export const now = (): number => Number(process.hrtime.bigint()) / 1e6;

async function play(plan: BoardsPlan): Promise<void> {
  const random = seededNumbers(11);
  const say = (said: BoardsSaid): void => void process.send?.(said);
  const boards = await Promise.all(
    plan.boards.map(async ({ seat, inputs, sounding }, board) => {
      const socket = createSocket('udp4');
      socket.bind(0, `127.0.1.${String(board + 1)}`);
      await once(socket, 'listening');
      const noise = (): number => Math.round(8 * (random() - 0.5));
      const scan = (pad: number, value: number): Buffer => {
        const raws = Array.from({ length: inputs }, (_, i) => (i === pad ? value : REST) + noise());
        const numbers = [0, ...raws].map((one) => ({ type: 'integer' as const, value: one }));
        const packet = toBuffer({
          address: '/pads',
          args: [{ type: 'string', value: seat }, ...numbers],
        });
        return Buffer.from(packet.buffer, packet.byteOffset, packet.byteLength);
      };
      const rests = Array.from({ length: 16 }, () => scan(-1, REST));
      const touches = sounding.map((pad) => {
        const strength = 0.7 + 0.3 * random();
        const full = REST + strength * (TOUCHED - REST);
        return Array.from({ length: TOUCH }, (_, i) =>
          scan(pad, Math.round(i === 0 ? (REST + full) / 2 : full)),
        );
      });
      return {
        socket,
        rests,
        touches,
        left: 0,
        touch: touches[0]!,
        wait: 100 + 50 * random(),
        until: 0,
      };
    }),
  );

  const begun = now();
  let scans = 0;
  let stops = 1;
  const timer = setInterval(() => {
    // As many as are due: a timer is late now and then, and boards are not.
    for (; scans < ((now() - begun) * plan.rate) / 1_000; scans++) step();
    if (plan.stopEvery > 0 && now() - begun > stops * plan.stopEvery) {
      stops++;
      const board = Math.floor(random() * boards.length);
      boards[board]!.until = now() + plan.stopFor;
      say({ said: 'stopped', board, at: now() });
    }
  }, 2);

  function step(): void {
    const at = now();
    for (const [index, board] of boards.entries()) {
      if (board.until > at) continue;
      if (board.until > 0) {
        board.until = 0;
        board.left = 0;
        board.wait = (SETTLE_MS * plan.rate) / 1_000;
        say({ said: 'back', board: index, at });
      }
      if (board.left === 0 && --board.wait <= 0) {
        board.left = TOUCH;
        board.touch = board.touches[Math.floor(random() * board.touches.length)]!;
        board.wait = plan.rate * (0.5 + random());
        say({ said: 'pluck', board: index, at });
      }
      const packet =
        board.left > 0
          ? board.touch[TOUCH - board.left--]!
          : board.rests[Math.floor(random() * board.rests.length)]!;
      board.socket.send(packet, plan.port, '127.0.0.1');
    }
  }

  process.on('message', () => {
    clearInterval(timer);
    // The last touches are over.
    for (let i = 0; i <= TOUCH; i++) {
      for (const { socket, rests } of boards) socket.send(rests[0]!, plan.port, '127.0.0.1');
    }
    setTimeout(() => {
      for (const { socket } of boards) socket.close();
      say({ said: 'ended' });
      process.disconnect();
    }, 500);
  });
}

const [plan] = process.argv.slice(2);
if (plan !== undefined && process.send) await play(JSON.parse(plan) as BoardsPlan);
