import { IMMEDIATELY, oscTimeTag, type OscTimeTag } from '../../src/wire/osc-time.js';

/** Numbers from 0 up to, not with, 1. */
type Random = () => number;

/** The seats that hostile datagrams speak of most; a room under test should have some of them. */
export const HOSTILE_SEATS = ['north', 'south'] as const;

/**
 * One datagram as a broken sketch, a stray program or somebody with bad intent might send it to a port
 * for readings, for what is handed on, or for control: some valid, most nearly valid, some noise. The same
 * numbers give the same datagram.
 *
 * @param random such as `seededNumbers(seed)`
 * @returns 0 to 9,000 bytes
 */
export function hostileDatagram(random: Random): Uint8Array {
  const made = pick(random, MAKERS)(random);
  return random() < 0.25 ? spoilt(made, random) : made;
}

const MAKERS: readonly ((random: Random) => Uint8Array)[] = [
  noise,
  (random) => message(...pads(random)),
  (random) => message(...pads(random)),
  (random) => message(...anyMessage(random)),
  hand,
  hand,
  hand,
  manyMessages,
  deepBundle,
  strangeTypes,
  (random) => bundle(anyTag(random), [message(...pads(random)), message(...anyMessage(random))]),
];

type Value = readonly [type: string, value: number | string];

function whole(random: Random, least: number, most: number): number {
  return least + Math.floor(random() * (most - least + 1));
}

function pick<T>(random: Random, from: readonly T[]): T {
  return from[Math.floor(random() * from.length)]!;
}

function noise(random: Random): Uint8Array {
  const size = random() < 0.1 ? whole(random, 0, 9_000) : whole(random, 0, 64);
  return Uint8Array.from({ length: size }, () => whole(random, 0, 255));
}

function anyText(random: Random): string {
  return pick(random, [
    ...HOSTILE_SEATS,
    ...HOSTILE_SEATS,
    'nroth',
    '',
    '\x1b[2J\x1b]0;owned\x07',
    '\u202egnp.exe',
    '\u009b31m',
    'a'.repeat(whole(random, 0, 2_000)),
    '../../etc/passwd',
    '__proto__',
    '\r\nerror: all is lost',
  ]);
}

function anyNumber(random: Random): number {
  return pick(random, [
    ...[0, 1, -1, 20, 127, 128, 1_023, 16_383, 16_384, 0.5, 1e30, -1e30],
    ...[NaN, Infinity, -Infinity, 2 ** 31 - 1, -(2 ** 31)],
    whole(random, -10, 20_000),
  ]);
}

function number(random: Random, value = anyNumber(random)): Value {
  return [pick(random, ['i', 'i', 'i', 'f', 'd']), value];
}

const atRest = Array.from({ length: 20 }, (): Value => ['i', 1_000]);

/** Readings, of which most can be played: touches that come and go at the whim of chance. */
function pads(random: Random): [string, Value[]] {
  const seat: Value = ['s', pick(random, HOSTILE_SEATS)];
  const raw = (): Value => ['i', pick(random, [0, 1_000, 1_000, 1_600, 9_000, 16_383, 20_000])];
  const chance = random();
  if (chance < 0.2) return ['/pad', [seat, ['i', whole(random, 0, 21)], raw()]];
  if (chance < 0.4) return ['/pad', [seat, ['i', whole(random, 16, 19)], ['i', 1_600]]];
  if (chance < 0.6) return ['/pads', [seat, ['i', 0], ...atRest]];
  const count = whole(random, 1, random() < 0.05 ? 1_100 : 20);
  return ['/pads', [seat, ['i', whole(random, 0, 2)], ...Array.from({ length: count }, raw)]];
}

function anyMessage(random: Random): [string, Value[]] {
  const address = pick(random, [
    ...['/pad', '/pads', '/pads/now', '/hand', '/hand/note', '/note/on', '/note/off'],
    ...['/sounding', '/reset', '/seat/level', '/seat/pan', '/seat/mute', '/seat/sound'],
    ...['/seat/solo', '/seat/lead', '/room/scale', '/room/duck', '/rules', '/silence', '/', '/*'],
    `/${'x'.repeat(whole(random, 0, 500))}`,
  ]);
  const args = Array.from({ length: whole(random, 0, 6) }, (): Value =>
    random() < 0.4 ? ['s', anyText(random)] : number(random),
  );
  return [address, args];
}

/** What another computer hands on, with runs, numbers and time tags that leap. */
function hand(random: Random): Uint8Array {
  const seat = pick(random, HOSTILE_SEATS);
  const run = whole(random, 1, random() < 0.1 ? 1_000 : 2);
  const count = pick(random, [whole(random, 0, 50), whole(random, 0, 2 ** 31 - 1)]);
  const head = message('/hand', [
    ['s', seat],
    ['i', run],
    ['i', count],
  ]);
  const parts = Array.from({ length: whole(random, 0, 4) }, () => handPart(random, seat));
  return bundle(anyTag(random), [head, ...parts.flat()]);
}

function handPart(random: Random, seat: string): Uint8Array[] {
  const voice = whole(random, 0, 40);
  const name: Value = ['s', seat];
  switch (whole(random, 0, 5)) {
    case 0:
      return [message(pick(random, ['/pads', '/pads/now']), pads(random)[1])];
    case 1:
      return [
        message('/note/on', [
          ['i', voice],
          ['i', whole(random, 0, 127)],
          ['f', 440],
          ['f', random()],
        ]),
        message('/hand/note', [
          ['i', voice],
          ['i', whole(random, 1, 127)],
          ['i', whole(random, 0, 5)],
          ['i', whole(random, 0, 12)],
          ['s', pick(random, ['pluck', 'slide', 'no such way'])],
        ]),
      ];
    case 2:
      return [message('/note/off', [['i', voice]])];
    case 3:
      return [message('/sounding', [name, ['i', voice], ['i', voice + 1]])];
    case 4: {
      const why = pick(random, ['end', 'lost', 'overflow', 'silence', 'reload', 'no such reason']);
      return [message('/reset', [name, ['s', why]])];
    }
    default:
      return [message(...anyMessage(random))];
  }
}

function anyTag(random: Random): OscTimeTag {
  const leap = pick(random, [0, 0, 0, 0.01, -2, 2, 86_400, -1e9]);
  return pick(random, [
    IMMEDIATELY,
    oscTimeTag(1.7e15 + Math.round((random() + leap) * 1_000_000)),
    { seconds: whole(random, 0, 2 ** 32 - 1), fraction: whole(random, 0, 2 ** 32 - 1) },
  ]);
}

function manyMessages(random: Random): Uint8Array {
  const [one, count] = [message(...anyMessage(random)), whole(random, 1, 600)];
  const most = Math.floor(8_192 / (one.length + 4));
  return bundle(
    IMMEDIATELY,
    Array.from({ length: Math.min(count, most) }, () => one),
  );
}

function deepBundle(random: Random): Uint8Array {
  let packet = message(...pads(random));
  const levels = whole(random, 1, 300);
  for (let i = 0; i < levels; i++) packet = bundle(anyTag(random), [packet]);
  return packet;
}

function strangeTypes(random: Random): Uint8Array {
  const tags = pick(random, ['[', '[]', '[i', 'T', 'F', 'N', 'I', 'b', 'h', 't', 's', 'z', ',']);
  const text = `,${tags.repeat(whole(random, 1, 3_000))}`;
  return join([padded('/pads'), padded(text), new Uint8Array(4 * whole(random, 0, 300))]);
}

/** A byte changed, dropped or put in, or the end cut off. */
function spoilt(bytes: Uint8Array, random: Random): Uint8Array {
  if (random() < 0.3) return bytes.slice(0, whole(random, 0, bytes.length));
  const out = [...bytes];
  for (let i = whole(random, 1, 4); i > 0; i--) {
    const at = whole(random, 0, out.length);
    const gone = pick(random, [0, 1, 1, 1]);
    out.splice(at, gone, ...(random() < 0.2 ? [] : [whole(random, 0, 255)]));
  }
  return Uint8Array.from(out);
}

/** Bytes as OSC 1.0 has them, by hand: a writer that checks its values could not write most of these. */
function message(address: string, args: readonly Value[]): Uint8Array {
  const types = `,${args.map(([type]) => type).join('')}`;
  return join([padded(address), padded(types), ...args.map(argument)]);
}

function argument([type, value]: Value): Uint8Array {
  if (typeof value === 'string') return padded(value);
  const bytes = new Uint8Array(type === 'd' ? 8 : 4);
  const view = new DataView(bytes.buffer);
  if (type === 'i') view.setInt32(0, value);
  else if (type === 'd') view.setFloat64(0, value);
  else view.setFloat32(0, value);
  return bytes;
}

function bundle({ seconds, fraction }: OscTimeTag, packets: readonly Uint8Array[]): Uint8Array {
  const tag = new Uint8Array(8);
  const view = new DataView(tag.buffer);
  view.setUint32(0, seconds);
  view.setUint32(4, fraction);
  const sized = packets.flatMap((packet) => {
    const size = new Uint8Array(4);
    new DataView(size.buffer).setInt32(0, packet.length);
    return [size, packet];
  });
  return join([padded('#bundle'), tag, ...sized]);
}

function padded(text: string): Uint8Array {
  const bytes = new TextEncoder().encode(`${text}\0`);
  return join([bytes, new Uint8Array((4 - (bytes.length % 4)) % 4)]);
}

function join(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
