import type { RemoteInfo } from 'node:dgram';
import { liveClock } from '../../../src/ports/live-clock.js';
import type { ListenOptions } from '../../../src/ports/osc/listen.js';
import { oscSource } from '../../../src/ports/osc/source.js';
import { decodeControl } from '../../../src/ports/room/control-messages.js';
import { startService } from '../../../src/ports/service.js';
import { plainRoom } from '../../../src/room/plan.js';
import { encodeOsc } from '../../../src/wire/osc-codec.js';
import { encodeHand, LAST_NUMBER } from '../../../src/wire/osc-hand.js';
import { oscTimeTag } from '../../../src/wire/osc-time.js';
import { bassPlan } from '../../support/bass.js';
import { lateTimers } from '../../support/late-timers.js';
import { HOSTILE_SEATS, hostileDatagram } from '../hostile.js';
import { promises } from '../room/promises.js';
import { Account, type Feed } from './fed.js';
import { numbersOf } from './midi-bytes.js';

type Random = () => number;

/** As the datagrams have it: at rest at 1,000, and 1,600 at a full touch. */
const pads = Array.from({ length: 20 }, (_, pad) => pad);
const build = {
  wiring: pads,
  pads: pads.map(() => ({ rest: 1_000, span: 600, noise: 4, coupling: [] })),
};

/** After so many, every port is closed for a moment, and nothing may sound. */
const DATAGRAMS = 10_000;
/** Each that was made is sent so many more times, with a byte or two wrong. */
const SPOILT = 3;

/**
 * Feeds datagrams of several senders to two OSC sources, one of pads and one of notes, as sockets would,
 * and to what reads changes of the room; the whole way behind them is held to its promises. Time goes by
 * on a clock of its own.
 */
export const feedDatagrams: Feed = async (seed, count, progress) => {
  const account = new Account(count, progress);
  const random = numbersOf(seed);
  const timers = lateTimers(random);
  const clock = liveClock(timers);
  const room = { ...plainRoom(4), voices: 16 };
  const plan = { ...bassPlan(), pads: { ...bassPlan().pads, build } };
  const kept = promises(room, new Array<number>(4).fill(plan.rules.voices.most));
  const ports: ListenOptions[] = [];
  const tell = (): void => account.add('messages to people');
  const sources = (['pads', 'notes'] as const).map((hand, i) =>
    oscSource({
      seats: new Map(
        HOSTILE_SEATS.map((name, seat) => {
          const delay = seat === 0 ? 0 : 50_000;
          return [name, { seat: 2 * i + seat, full: 16_383, hand, delay }];
        }),
      ),
      port: 9_000 + i,
      clock,
      timers,
      tell,
      listen: (options) => {
        ports.push(options);
        return { close: () => Promise.resolve() };
      },
    }),
  );
  const service = startService({
    seats: [...HOSTILE_SEATS, ...HOSTILE_SEATS].map((name, i) => ({
      name,
      plan: { ...plan, made: i >= 2 },
    })),
    room,
    clock,
    sources,
    engines: [kept.engine],
    tell: ({ level, what }) => {
      if (level === 'error') kept.fail(what);
    },
    onReading: () => account.add('events read'),
  });

  const stream = strangeHand(random);
  let made = new Uint8Array();
  /** Whose seats these are, mostly: what others send under the same names is refused. */
  let host = 2;
  for (let n = 0; account.left > 0 && kept.broken() === null; n++) {
    if (n % (1 + SPOILT) === 0)
      made = Uint8Array.from(random() < 0.2 ? stream() : hostileDatagram(random));
    else made = spoilt(made, random);
    timers.run(timers.now() + random());
    const other = (): number => 2 + Math.floor(8 * random());
    if (random() < 0.0005) host = other();
    const from = { address: `10.0.0.${String(random() < 0.95 ? host : other())}`, port: 40_000 };
    const port = ports[Math.floor(2 * random())]!;
    account.feed(1, `seed ${String(seed)}, datagram ${String(n)}`, () => {
      if (port.budget.admits(from.address, made)) port.onPacket(made, from as RemoteInfo);
      else account.add('dropped by the budget');
      if (n % 4 === 0)
        account.add('changes read', decodeControl(made, HOSTILE_SEATS).wishes.length);
    });
    if (n % DATAGRAMS !== DATAGRAMS - 1) continue;
    // What is held for later is played first.
    timers.run(timers.now() + 3_000);
    for (const { onLost } of ports) onLost();
    kept.still(() => true);
    await new Promise((resolve) => setImmediate(resolve));
  }
  await service.stop();
  kept.still(() => true);
  const broken = kept.broken();
  if (broken !== null) account.fail(`seed ${String(seed)}: ${broken}`);
  for (const [how, notes] of kept.notes) account.add(`notes by ${how}`, notes);
  return account.end();
};

/** A stream that another computer might hand on with a broken clock, a broken counter or bad intent. */
function strangeHand(random: Random): () => Uint8Array {
  let [number, tag, run, left] = [0, 0, 0, 0];
  let [steps, leap] = [1, 0];
  return () => {
    if (left-- <= 0) {
      left = Math.floor(random() * 2_000);
      const pick = <T>(...from: readonly T[]): T => from[Math.floor(random() * from.length)]!;
      steps = pick(1, 1, 2, 4_096, 2 ** 20, -1);
      leap = pick(0, 4_000, -2_000_000, 2_000_000, 3_600_000_000);
      [number, tag, run] = [pick(0, 5, LAST_NUMBER - 100), 1.7e15, Math.floor(random() * 5)];
    }
    number = Math.max(0, Math.min(LAST_NUMBER, number + steps));
    tag = Math.max(0, tag + leap);
    const seat = HOSTILE_SEATS[Math.floor(random() * 2)]!;
    const raws = pads.map(() => (random() < 0.1 ? 1_600 : 1_000));
    const parts = random() < 0.1 ? [] : [{ type: 'scan' as const, inputs: pads, raws }];
    const bytes = encodeHand({ seat, run, number, at: oscTimeTag(tag), parts });
    return random() < 0.9 ? bytes : encodeOsc({ address: '/hand', args: [] });
  };
}

function spoilt(bytes: Uint8Array, random: Random): Uint8Array<ArrayBuffer> {
  const out = Uint8Array.from(bytes);
  for (let n = 1 + Math.floor(2 * random()); n > 0 && out.length > 0; n--) {
    out[Math.floor(random() * out.length)] = Math.floor(random() * 256);
  }
  return out;
}
