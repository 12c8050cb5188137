import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { encodeHand } from '../../src/wire/osc-hand.js';
import { encodeOsc } from '../../src/wire/osc-codec.js';
import { oscTimeTag } from '../../src/wire/osc-time.js';
import { seededNumbers } from '../../src/demo/gestures.js';
import { freePort } from '../engines/csound-process.js';
import { hostileDatagram } from '../fuzz/hostile.js';
import { board, closeSockets, receiver, type Receiver } from './osc-hands.js';
import { endPrograms, start, workFolder } from './program.js';

/*
 * Somebody in the network floods one seat's port from 127.0.0.2; a player at 127.0.0.1 plucks on
 * another seat of the same port, and every pluck must sound.
 */

const folder = workFolder();
afterEach(() => {
  endPrograms();
  closeSockets();
});
afterAll(folder.remove);

const pads = Array.from({ length: 20 }, (_, pad) => pad);
const REST = pads.map(() => 1_000);
const BUILD = {
  wiring: pads,
  pads: pads.map(() => ({ rest: 1_000, span: 600, noise: 4, coupling: [] })),
};
const PLUCK = REST.map((raw, pad) => (pad === 19 ? 1_600 : raw));

/** Sends at a pace, from an address of its own, until it is stopped; gives how many it has sent. */
async function flood(
  port: number,
  perSecond: number,
  make: (n: number) => Uint8Array,
): Promise<{ sent: () => number; stop: () => void }> {
  const socket = createSocket('udp4');
  socket.bind(0, '127.0.0.2');
  await once(socket, 'listening');
  const begun = performance.now();
  let sent = 0;
  const timer = setInterval(() => {
    const due = ((performance.now() - begun) / 1_000) * perSecond;
    // After a stall of this process, no more at once than the pace gives in a tenth of a second.
    if (due - sent > perSecond / 10) sent = Math.floor(due - perSecond / 10);
    while (sent < due) socket.send(make(sent++), port, '127.0.0.1');
  }, 5);
  return {
    sent: () => sent,
    stop: () => {
      clearInterval(timer);
      socket.close();
    },
  };
}

const ons = ({ heard }: Receiver): number =>
  heard.filter(({ address }) => address === '/on/south').length;
const pause = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms));

/** Plucks as a board's scans show it; gives how long each took to sound, in ms, Infinity where it never did. */
async function plucks(port: number, count: number, synth: Receiver): Promise<number[]> {
  const hand = await board(port);
  const send = async (raws: readonly number[], until: () => boolean): Promise<void> => {
    // The finger stays until it is heard; three seconds are for a machine that is busy with other things.
    const begun = performance.now();
    for (let n = 0; n < 5 || (!until() && performance.now() - begun < 3_000); n++) {
      hand.send('/pads', 'south', 0, ...raws);
      await pause(4);
    }
  };
  const took: number[] = [];
  for (let n = 0; n < count; n++) {
    await send(REST, () => true);
    await pause(60);
    await send(REST, () => true);
    const before = ons(synth);
    const touched = performance.now();
    await send(PLUCK, () => ons(synth) > before);
    const sounded = synth.heard.filter(({ address }) => address === '/on/south')[before];
    took.push(sounded ? sounded.ms - touched : Infinity);
    await send(REST, () => true);
  }
  return took;
}

function rssOf(pid: number): number {
  return Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${String(pid)}/status`, 'utf8'))?.[1]);
}

interface Attack {
  readonly name: string;
  readonly perSecond: number;
  readonly make: (n: number) => Uint8Array;
  readonly hand: 'pads' | 'notes';
  readonly told?: RegExp;
}

const random = seededNumbers(9);
const hostile = Array.from({ length: 500 }, () => hostileDatagram(random));
/** North's only: south is the player's. */
const strangers = hostile.filter((bytes) => !Buffer.from(bytes).includes('south'));
const nested = (): Uint8Array => {
  let packet = { at: oscTimeTag(1.7e15), packets: [{ address: '/pad', args: [] }] } as Parameters<
    typeof encodeOsc
  >[0];
  for (let n = 0; n < 250; n++) packet = { at: oscTimeTag(1.7e15), packets: [packet] };
  return encodeOsc(packet);
};
const deep = nested();
const many = encodeOsc({
  at: oscTimeTag(1.7e15),
  packets: Array.from({ length: 400 }, () => ({ address: '/x', args: [] })),
});
const pad = encodeOsc({
  address: '/pads',
  args: [{ type: 's', value: 'north' }, ...[0, ...REST].map((value) => ({ type: 'i', value }))],
});
const at = (seconds: number) => oscTimeTag(1.7e15 + seconds * 1_000_000);

const ATTACKS: readonly Attack[] = [
  {
    name: 'numbers that rise while time tags fall',
    perSecond: 3_000,
    hand: 'pads',
    make: (n) =>
      encodeHand({
        seat: 'north',
        run: 1,
        number: n,
        at: at(-2 * n),
        parts: [{ type: 'scan', inputs: [0], raws: [1_000] }],
      }),
  },
  {
    name: 'numbers that leap',
    perSecond: 1_000,
    hand: 'pads',
    make: (n) =>
      encodeHand({ seat: 'north', run: 1, number: 4_097 * n, at: at(n / 1_000), parts: [] }),
  },
  { name: 'bundles in bundles', perSecond: 1_000, hand: 'pads', make: () => deep },
  { name: 'hundreds of messages each', perSecond: 1_500, hand: 'pads', make: () => many },
  {
    name: 'notes without an end',
    perSecond: 1_000,
    hand: 'notes',
    make: (n) =>
      encodeHand({
        seat: 'north',
        run: 1,
        number: n,
        at: at(n / 1_000),
        parts: [
          {
            type: 'on',
            voice: n,
            note: 40,
            velocity: 9,
            strength: 0.1,
            string: 0,
            fret: 0,
            how: 'pluck',
          },
        ],
      }),
  },
  { name: 'readings at a mad pace', perSecond: 1_500, hand: 'pads', make: () => pad },
  {
    name: 'whatever comes to mind',
    perSecond: 1_000,
    hand: 'pads',
    make: (n) => strangers[n % strangers.length]!,
  },
];

describe('every pluck of another seat sounds while somebody floods a port with', () => {
  it.each(ATTACKS)(
    '$name, $perSecond a second',
    async ({ perSecond, make, hand }) => {
      const synth = await receiver();
      const port = await freePort();
      folder.write('builds/south.json', JSON.stringify(BUILD));
      folder.write(
        'rooms/hall.yaml',
        `seats:
  - { name: north, instrument: bass-4x4, from: { osc: ${String(port)}, hand: ${hand} } }
  - { name: south, instrument: bass-4x4, build: south, from: { osc: ${String(port)} } }
to:
  - osc:
      host: 127.0.0.1
      port: ${String(synth.port)}
      messages: { on: '/on/{seat} voice:i', off: '/off/{seat} voice:i', silence: /silence }
`,
      );
      const program = start(['play', 'hall', '--quiet'], folder.path);
      await program.saw(/Playing/);
      const attack = await flood(port, perSecond, make);
      // What grows needs a while to grow.
      await pause(3_000);
      const took = await plucks(port, 6, synth);
      attack.stop();
      expect(took.filter((ms) => ms === Infinity)).toEqual([]);
      expect(rssOf(program.pid)).toBeLessThan(300_000);
      expect(program.err.split('\n').length).toBeLessThan(40);
      program.signal('SIGINT');
      expect((await program.ended).code).toBe(0);
      await synth.heardThat((all) => all.at(-1)?.address === '/silence');
      const voices = (type: string): unknown[] =>
        synth.heard.flatMap(({ address, args }) => (address === `/${type}/south` ? [args[0]] : []));
      expect(voices('off')).toEqual(voices('on'));
    },
    180_000,
  );
});
