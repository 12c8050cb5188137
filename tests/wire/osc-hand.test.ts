import fc from 'fast-check';
import { fromBuffer } from 'osc-min';
import { describe, expect, it } from 'vitest';
import { REASONS } from '../../src/time/events.js';
import { decodeOsc } from '../../src/wire/osc-codec.js';
import {
  encodeHand,
  LAST_NUMBER,
  type HandPacket,
  type HandPart,
} from '../../src/wire/osc-hand.js';
import { isHand, readHand } from '../../src/wire/osc-hand-read.js';
import { oscTimeTag, unixTime } from '../../src/wire/osc-time.js';
import { readWithBoth } from '../engine/osc-readers.js';

const fullOf = (seat: string): number | undefined => (seat === 'attic' ? undefined : 16_383);
/* The test vector of OSC 1.0's time tags: 2^31 parts of 2^32 are half a second. */
const AT = { seconds: 2_208_988_800 + 1_700_000_000, fraction: 2 ** 31 };

function packet(parts: readonly HandPart[], more: Partial<HandPacket> = {}): HandPacket {
  return { seat: 'north', run: 77, number: 5, at: AT, parts, ...more };
}

function read(bytes: Uint8Array) {
  const decoded = decodeOsc(bytes);
  if ('error' in decoded) throw new Error(decoded.error);
  expect(isHand(decoded.ok)).toBe(true);
  return readHand(decoded.ok, fullOf);
}

/** A bundle as osc-min 2.1.2 reads it, which knows nothing of this project. */
function asOscMin(bytes: Uint8Array) {
  const read = fromBuffer(Buffer.from(bytes)) as unknown as {
    oscType: string;
    timetag: [number, number];
    elements: { address: string; args: { type: string; value: unknown }[] }[];
  };
  return {
    type: read.oscType,
    tag: read.timetag,
    messages: read.elements.map(({ address, args }) => [
      address,
      ...args.map(({ value }) => value),
    ]),
  };
}

describe('a packet that is handed on', () => {
  const scan: HandPart = { type: 'scan', inputs: [3, 4, 5, 9], raws: [7, 8, 9, 1_000] };

  it('is a bundle with the time of the readings, as osc-min and node-osc read it', () => {
    const bytes = encodeHand(packet([scan]));
    expect(asOscMin(bytes)).toEqual({
      type: 'bundle',
      tag: [AT.seconds, AT.fraction],
      messages: [
        ['/hand', 'north', 77, 5],
        ['/pads', 'north', 3, 7, 8, 9],
        ['/pads', 'north', 9, 1_000],
      ],
    });
    // Both readers agree; half a second past 1,700,000,000 s after the start of 1970.
    expect(readWithBoth(bytes).map(({ at }) => at)).toEqual([1, 1, 1].map(() => 1_700_000_000.5));
    expect(unixTime(AT)).toBe(1_700_000_000_500_000);
  });

  it('has notes as any receiver of notes gets them', () => {
    const on: HandPart = {
      type: 'on',
      voice: 9,
      note: 69,
      velocity: 96,
      strength: 0.5,
      string: 2,
      fret: 3,
      how: 'hammer',
    };
    const slur: HandPart[] = [{ type: 'off', voice: 8, slurred: true }, on];
    expect(asOscMin(encodeHand(packet(slur))).messages).toEqual([
      ['/hand', 'north', 77, 5],
      ['/note/off', 8],
      // A4 is 440 Hz (ISO 16).
      ['/note/on', 9, 69, 440, 0.5],
      ['/hand/note', 9, 96, 2, 3, 'hammer'],
    ]);
    expect(read(encodeHand(packet(slur)))).toEqual({ packet: packet(slur), faults: [] });
  });

  it('gives back what was written', () => {
    const inputs = fc
      .uniqueArray(fc.nat(1_023), { minLength: 1, maxLength: 40 })
      .map((all) => all.sort((a, b) => a - b));
    const readings = fc.tuple(inputs, fc.infiniteStream(fc.nat(16_383)));
    const parts: fc.Arbitrary<HandPart> = fc.oneof(
      fc
        .tuple(fc.constantFrom('scan' as const, 'now' as const), readings)
        .map(([type, [of, raws]]) => ({ type, inputs: of, raws: [...raws.take(of.length)] })),
      fc.record({
        type: fc.constant('on' as const),
        voice: fc.nat(LAST_NUMBER),
        note: fc.nat(127),
        velocity: fc.integer({ min: 1, max: 127 }),
        strength: fc.nat(1 << 20).map((n) => n / (1 << 20)),
        string: fc.nat(30),
        fret: fc.nat(30),
        how: fc.constantFrom('pluck', 'late'),
      }),
      fc.record({
        type: fc.constant('off' as const),
        voice: fc.nat(LAST_NUMBER),
        slurred: fc.constant(false),
      }),
      fc.record({
        type: fc.constant('sounding' as const),
        voices: fc.array(fc.nat(LAST_NUMBER), { maxLength: 64 }),
      }),
      fc.record({ type: fc.constant('reset' as const), why: fc.constantFrom(...REASONS) }),
    );
    fc.assert(
      fc.property(parts, fc.nat(LAST_NUMBER), fc.nat(4e9), (part, number, ms) => {
        const at = oscTimeTag(ms * 1_000 + 1);
        const one = packet([part], { number, at });
        expect(read(encodeHand(one))).toEqual({ packet: one, faults: [] });
      }),
    );
  });

  it('names what cannot be read, and keeps the rest', () => {
    const many = packet([scan, { type: 'reset', why: 'silence' }]);
    const decoded = decodeOsc(encodeHand(many));
    if ('error' in decoded) throw new Error(decoded.error);
    const [head, first, ...rest] = decoded.ok;
    const bad = (address: string, ...args: (string | number)[]) => ({
      address,
      args: args.map((value) => ({ type: typeof value === 'string' ? 's' : 'i', value })),
    });
    const said = (message: ReturnType<typeof bad>) => {
      const found = readHand([head!, message, ...rest], fullOf);
      return typeof found === 'string' ? found : [found.faults[0], found.packet.parts.length];
    };
    expect(said(bad('/pads', 'north', 0, 99_999))).toEqual([
      '/pads: seat "north", input 0: 99999 is above its full scale 16383',
      2,
    ]);
    expect(said(bad('/pads', 'south', 0, 9))).toEqual([
      '/pads: is of seat "south", in a packet of "north"',
      2,
    ]);
    expect(said(bad('/note/on', 1, 60))).toEqual([
      '/note/on: is voice, note, frequency and strength, and /hand/note of the same voice comes next',
      2,
    ]);
    expect(said(bad('/reset', 'north', 'tea'))).toEqual(['/reset: is a seat and a reason', 2]);
    expect(said(bad('/of/a/later/version', 1))).toEqual([undefined, 2]);
    expect(readHand([bad('/hand', 'attic', 1, 2), first!], fullOf)).toBe(
      'there is no seat named "attic" here',
    );
    expect(readHand([bad('/hand', 'north', 1, -2)], fullOf)).toBe(
      '/hand is seat, run and running number',
    );
  });

  it('is refused without a throw, whatever comes', () => {
    const arg = fc.oneof(
      fc.record({ type: fc.constantFrom('i', 'f', 'd', 's', 'b', 'T'), value: fc.anything() }),
      fc.constant([]),
    );
    const message = fc.record({
      address: fc.constantFrom(
        ...['/hand', '/pads', '/pad', '/pads/now', '/note/on', '/hand/note', '/note/off'],
        ...['/sounding', '/reset', '/else'],
      ),
      args: fc.array(arg, { maxLength: 6 }),
    });
    fc.assert(
      fc.property(fc.array(message), (messages) => {
        readHand(messages, fullOf);
      }),
    );
  });
});
