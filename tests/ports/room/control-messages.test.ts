import fc from 'fast-check';
import { toBuffer } from 'osc-min';
import { Scale } from 'tonal';
import { describe, expect, it } from 'vitest';
import { decodeControl, type ControlDecoded } from '../../../src/ports/room/control-messages.js';

const SEATS = ['north', 'süd west', 'south'];

type Value = { type: string; value: unknown };
const i = (value: number): Value => ({ type: 'integer', value });
const f = (value: number): Value => ({ type: 'float', value });
const s = (value: string): Value => ({ type: 'string', value });

/** Reads what osc-min 2.1.2, an independent writer, makes of a message. */
function decode(address: string, ...args: (Value | boolean)[]): ControlDecoded {
  const written = args.map((arg) =>
    typeof arg === 'boolean' ? { type: String(arg), value: arg } : arg,
  );
  const { buffer, byteOffset, byteLength } = toBuffer({ address, args: written } as never);
  return decodeControl(new Uint8Array(buffer, byteOffset, byteLength), SEATS);
}
const wish = (...message: Parameters<typeof decode>): unknown => {
  const { wishes, faults } = decode(...message);
  expect(faults).toEqual([]);
  return wishes[0];
};
const fault = (...message: Parameters<typeof decode>): string => {
  const { wishes, faults } = decode(...message);
  expect(wishes).toEqual([]);
  return faults[0]!;
};

describe('a message to the room', () => {
  it.each([
    ['/seat/level', f(0.25), { level: 0.25 }],
    ['/seat/level', i(1), { level: 1 }],
    ['/seat/pan', f(-0.5), { pan: -0.5 }],
    ['/seat/mute', i(1), { mute: true }],
    ['/seat/mute', i(0), { mute: false }],
    ['/seat/mute', true, { mute: true }],
    ['/seat/solo', f(1), { solo: true }],
    ['/seat/solo', false, { solo: false }],
    ['/seat/lead', i(1), { lead: true }],
    ['/seat/sound', i(34), { sound: 34 }],
    ['/seat/sound', f(128), { sound: 128 }],
  ])('%s changes one seat', (address, value, wanted) => {
    expect(wish(address, s('süd west'), value)).toEqual({
      type: 'seat-change',
      seat: 1,
      ...wanted,
    });
  });

  it('sets the duck, and silences', () => {
    expect(wish('/room/duck', f(12))).toEqual({ type: 'room-change', duck: 12 });
    expect(wish('/silence')).toBe('silence');
    expect(wish('/silence', i(1))).toBe('silence');
  });

  it('sets the scale by key and name, as tonal has it, by its notes, or to none', () => {
    const scaleOf = (text: string): unknown =>
      (wish('/room/scale', s(text)) as { scale: unknown }).scale;
    for (const text of [
      'D dorian',
      'Bb minor pentatonic',
      'F# major',
      'C chromatic',
      'E whole tone',
    ]) {
      const chroma = [...Scale.get(text).notes]
        .map((note) => noteClass(note))
        .sort((a, b) => a - b);
      expect(scaleOf(text)).toEqual(chroma);
    }
    expect(scaleOf('d Dorian')).toEqual([0, 2, 4, 5, 7, 9, 11]);
    expect(scaleOf('D F# A')).toEqual([2, 6, 9]);
    expect(scaleOf('off')).toBeNull();
    expect(scaleOf(' OFF ')).toBeNull();
  });

  it('may come with others in a bundle', () => {
    const level = { address: '/seat/level', args: [s('north'), f(0.5)] };
    const bundle = { timetag: [0, 1], elements: [level, { address: '/silence', args: [] }] };
    const { buffer, byteOffset, byteLength } = toBuffer(bundle as never);
    expect(decodeControl(new Uint8Array(buffer, byteOffset, byteLength), SEATS).wishes).toEqual([
      { type: 'seat-change', seat: 0, level: 0.5 },
      'silence',
    ]);
  });
});

describe('a message that is none', () => {
  it.each([
    ['/seat/levle', [s('north'), f(1)], 'no such message; did you mean /seat/level?'],
    ['/seat/level', [s('nroth'), f(1)], 'there is no seat named "nroth"; did you mean "north"?'],
    ['/seat/level', [i(0), f(1)], '0 (i) is not a text'],
    ['/seat/level', [s('north')], 'has 1 arguments, and needs the name of a seat and a value'],
    ['/seat/level', [s('north'), f(1.5)], 'a level is a number from 0 to 1, not 1.5 (f)'],
    ['/seat/pan', [s('north'), s('left')], 'a pan is a number from -1 to 1, not left (s)'],
    ['/seat/mute', [s('north'), i(2)], 'the value is 1 for yes or 0 for no, not 2 (i)'],
    ['/seat/sound', [s('north'), i(0)], 'a sound is a whole number from 1 to 128, not 0 (i)'],
    ['/seat/sound', [s('north'), f(1.5)], 'a sound is a whole number from 1 to 128, not 1.5 (f)'],
    ['/room/duck', [f(-3)], 'the decibels are a number from 0 to 60, not -3 (f)'],
    [
      '/room/scale',
      [s('D dorain')],
      '"D dorain" is no scale: write its key and its name, as "D dorian", or its notes, or "off"; did you mean "D dorian"?',
    ],
    ['/room/scale', [s('dorian')], '"dorian" is no scale'],
    ['/room/scale', [s('')], '"" is no scale'],
  ])('%s %j is told', (address, args, words) => {
    expect(fault(address, ...args)).toContain(`${address}: ${words}`);
  });

  it('never makes it throw, nor changes what is out of range', () => {
    const arg = fc.oneof(
      fc.double({ noNaN: false }).map((value) => f(Math.fround(value))),
      fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 }).map(i),
      fc.oneof(fc.constantFrom(...SEATS), fc.string()).map((text) => s(text.replaceAll('\0', ''))),
      fc.boolean(),
    );
    const address = fc.constantFrom(
      ...['level', 'pan', 'mute', 'solo', 'lead', 'sound'].map((name) => `/seat/${name}`),
      ...['/room/scale', '/room/duck', '/silence', '/room'],
    );
    let taken = 0;
    fc.assert(
      fc.property(address, fc.array(arg, { maxLength: 3 }), (where, args) => {
        const { wishes, faults } = decode(where, ...args);
        expect(wishes.length + faults.length).toBe(1);
        for (const one of wishes) {
          taken++;
          if (one === 'silence') continue;
          if (one.type !== 'room-change' && one.type !== 'seat-change') continue;
          if (one.type === 'room-change') {
            if (one.duck !== undefined) expect(one.duck >= 0 && one.duck <= 60).toBe(true);
            continue;
          }
          const { level = 0, pan = 0, sound = 1, seat } = one;
          expect(level >= 0 && level <= 1 && pan >= -1 && pan <= 1).toBe(true);
          expect(Number.isInteger(sound) && sound >= 1 && sound <= 128).toBe(true);
          expect(SEATS[seat]).toBeDefined();
        }
      }),
      { numRuns: 3_000 },
    );
    expect(taken).toBeGreaterThan(100);
  });

  it('may be any bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 60 }), (bytes) => {
        expect(decodeControl(bytes, SEATS).wishes).toEqual([]);
      }),
      { numRuns: 2_000 },
    );
  });
});

/** From the letter and its accidentals: C is 0. */
function noteClass(name: string): number {
  const natural = 'C D EF G A B'.indexOf(name[0]!);
  const sharps = [...name].filter((sign) => sign === '#').length;
  const flats = [...name.slice(1)].filter((sign) => sign === 'b').length;
  return (natural + sharps - flats + 12) % 12;
}
