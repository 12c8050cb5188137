import { allOf, eventsIn } from '../support/takes.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PLAIN, parseRules } from '../../src/instrument/rules.js';
import { openTake } from '../../src/takes/read.js';
import { isRoomTake, roomHeader, type RoomTakeSeat } from '../../src/takes/room-header.js';
import { formatRoomLine } from '../../src/takes/room-line.js';
import { TakeSeats } from '../../src/takes/room-seats.js';
import { rulesAsWritten } from '../../src/takes/rules-written.js';
import { openRoomTake } from '../../src/takes/room-take.js';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import type { TakeProblem } from '../../src/takes/take.js';
import type { Played } from '../../src/wire/scan.js';

function seat(own: Partial<RoomTakeSeat>): Omit<RoomTakeSeat, 'first'> {
  return {
    name: 'north', inputs: 20, full: 16_383, decided: false, made: false,
    instrument: 'bass-4x4', build: null, rules: 'plain', level: 0.8, pan: 0, mute: false,
    solo: false, lead: false, sound: null, ...own,
  };
}

const HEADER = roomHeader({
  voices: 64, scale: null, duck: 9,
  seats: [seat({}), seat({ name: 'south', inputs: 6, full: 127 })],
});
const FIRST = formatHeader(HEADER);

async function read(...lines: string[]) {
  const problems: TakeProblem[] = [];
  const take = openRoomTake(await openTake([FIRST, ...lines, ''].join('\n')), 'hall.take.jsonl');
  return { events: await allOf(take.events((problem) => problems.push(problem))), problems };
}

const says = async (line: string): Promise<string | undefined> =>
  (await read('[5]', line)).problems[0]?.what;

describe('the take of a room', () => {
  it('has the inputs of its seats one after another', async () => {
    expect(HEADER).toMatchObject({ take: 1, inputs: 26, full: 16_383 });
    expect(HEADER.room.seats.map(({ first }) => first)).toEqual([0, 20]);
    expect((await read('[7,20,1,25,127]', '[7,19,3]')).events).toEqual([
      {
        type: 'seated', t: 7, seat: 1,
        event: { type: 'scan', t: 7, inputs: [0, 5], raws: [1, 127] },
      },
      {
        type: 'seated', t: 7, seat: 0,
        event: { type: 'scan', t: 7, inputs: [19], raws: [3] },
      },
    ]);
  });

  it('is a take to those who know of no rooms', async () => {
    const text = [FIRST, '[7,20,1]', '{"t":8,"event":"lost","seat":"south"}', ''].join('\n');
    expect(await eventsIn(text)).toEqual([
      { type: 'scan', t: 7, inputs: [20], raws: [1] },
      { type: 'reset', t: 8, why: 'lost' },
    ]);
  });

  it('is told from one whose header only speaks of a room', async () => {
    const text = '{"take":1,"inputs":3,"full":127,"room":"blue room"}\n';
    expect(isRoomTake((await openTake(text)).header)).toBe(false);
    expect(isRoomTake(HEADER)).toBe(true);
  });

  it('gives back what was written', async () => {
    const wire = fc.oneof(
      fc.record({
        type: fc.constant('scan' as const),
        of: fc.array(fc.tuple(fc.nat(5), fc.nat(127)), { maxLength: 6 }),
      }),
      fc.record({
        type: fc.constant('reset' as const),
        why: fc.constantFrom('lost' as const, 'end' as const, 'silence' as const),
      }),
      fc.record({
        type: fc.constant('played' as const), on: fc.constant(true as const),
        voice: fc.nat(), note: fc.nat(127), velocity: fc.integer({ min: 1, max: 127 }),
        strength: fc.nat(1_000).map((x) => x / 1_000),
        string: fc.nat(9), fret: fc.nat(9), how: fc.constant('pluck'),
      }),
      fc.record({
        type: fc.constant('played' as const), on: fc.constant(false as const),
        voice: fc.nat(), slurred: fc.boolean(),
      }),
    );
    const change = fc.oneof(
      fc.record(
        {
          type: fc.constant('seat-change' as const), seat: fc.nat(1),
          level: fc.constantFrom(0, 0.3, 1), mute: fc.boolean(), lead: fc.boolean(),
          sound: fc.integer({ min: 1, max: 128 }), pan: fc.constantFrom(-1, 0.5),
        },
        { requiredKeys: ['type', 'seat'] },
      ),
      fc.record(
        {
          type: fc.constant('room-change' as const), duck: fc.nat(60),
          scale: fc.constantFrom(null, [0, 4, 7]),
        },
        { requiredKeys: ['type'] },
      ),
    );
    const move = fc.tuple(fc.nat(9_999), fc.oneof(fc.tuple(fc.nat(1), wire), change));
    await fc.assert(
      fc.asyncProperty(fc.array(move), async (moves) => {
        let t = 0;
        const events = moves.map(([gap, what]): Parameters<typeof formatRoomLine>[0] => {
          t += gap;
          if (!Array.isArray(what)) return { ...what, t };
          const [own, event] = what;
          if (event.type !== 'scan') {
            return { type: 'seated', t, seat: own, event: { ...event, t } };
          }
          const scan = {
            type: 'scan' as const, t,
            inputs: event.of.map(([input]) => input),
            raws: event.of.map(([, raw]) => raw),
          };
          return { type: 'seated', t, seat: own, event: scan };
        });
        const seats = new TakeSeats(HEADER.room.seats);
        const lines = events.map((event) => formatRoomLine(event, seats));
        const again = await read(...lines);
        expect(again).toEqual({ events, problems: [] });
      }),
    );
  });

  it('names lines that are wrong: what was found, what is allowed', async () => {
    expect(await says('[6,26,1]')).toBe(
      'input 26 is not one of the 26 inputs (0 to 25); the line was left out',
    );
    expect(await says('[6,3,1,20,1]')).toBe(
      "inputs 3 and 20 are not of one seat: north has 0 to 19, south has 20 to 25; a line holds what one seat's board sent; the line was left out",
    );
    expect(await says('[6,21,128]')).toBe(
      'raw value 128 of input 21 is above 127, the full scale of south; the line was left out',
    );
    expect(await says('{"t":6,"event":"lost"}')).toBe(
      'it does not say of which seat it is: add "seat", one of north, south; the line was left out',
    );
    expect(await says('{"t":6,"event":"lost","seat":"west"}')).toBe(
      'there is no seat "west"; the seats are north, south; the line was left out',
    );
    expect(await says('{"t":6,"change":{"seat":"south","level":2}}')).toContain(
      'what was changed cannot be read: change.level: ',
    );
    expect(await says('{"t":6,"change":{"seat":"nroth","level":1}}')).toContain('no seat "nroth"');
    expect(await says('{"t":6,"change":{"tempo":2}}')).toContain('what was changed cannot be read');
    expect(await says('{"t":4,"change":{"duck":2}}')).toContain('its time 4 is before the line above it');
    expect(await says('{"t":6,"played":{"on":true,"voice":1},"seat":"north"}')).toContain(
      'the note in it is not whole: played.note: ',
    );
    expect(await says('{"t":6,"seat":"north"}')).toBeUndefined();
  });

  it('names an input between two seats', async () => {
    const { room } = HEADER;
    const [north, south] = room.seats;
    const apart = { ...HEADER, inputs: 40, room: { ...room, seats: [north, { ...south, first: 30 }] } };
    const problems: TakeProblem[] = [];
    const text = `${JSON.stringify(apart)}\n[1,25,3]\n[2,30,3]\n`;
    const take = openRoomTake(await openTake(text), 'a');
    const events = await allOf(take.events((one) => problems.push(one)));
    expect(events).toHaveLength(1);
    expect(problems).toEqual([
      {
        line: 2,
        what: 'input 25 is of no seat: north has 0 to 19, south has 30 to 35; the line was left out',
      },
    ]);
  });

  it('names what is wrong with its header', async () => {
    const open = async (change: (room: { seats: Record<string, unknown>[] }) => void) => {
      const header = JSON.parse(FIRST) as { room: { seats: Record<string, unknown>[] } };
      change(header.room);
      return openRoomTake(await openTake(`${JSON.stringify(header)}\n`), 'hall.take.jsonl');
    };
    await expect(open(({ seats }) => (seats[1]!.first = 19))).rejects.toThrow(
      /^hall\.take\.jsonl \(room in its header\):1:\d+: seats\[1\]\.first: found 19, an input of north too, allowed: inputs that no other seat has\n {4}Begin after the inputs of north, at 20 or later$/,
    );
    await expect(open(({ seats }) => (seats[1]!.name = 'north'))).rejects.toThrow(
      /seats\[1\]\.name: found "north", the name of seat 1 too/,
    );
    await expect(open(({ seats }) => delete seats[0]!.instrument)).rejects.toThrow(
      /seats\[0\]\.instrument: found nothing/,
    );
    await expect(open((room) => (room.seats = []))).rejects.toThrow(/seats: found an empty list/);
  });
});

describe('rules in a header', () => {
  const again = (rules: typeof PLAIN) => parseRules(JSON.stringify(rulesAsWritten(rules)), 'h');

  it('are read as they were', async () => {
    expect(again(PLAIN)).toEqual(PLAIN);
    const velocity = { ...PLAIN.velocity, curve: [[0, 1], [1, 127]] as const };
    const strings = { ...PLAIN.strings, 'late-fret': null, ring: 12_345, slide: true };
    const own = { ...PLAIN, name: 'my own', velocity, strings };
    expect(again(own)).toEqual(own);
    expect(again({ ...own, velocity: { ...velocity, curve: 'square' } }).velocity.curve).toBe(
      'square',
    );
  });

  it('have times of any length', async () => {
    fc.assert(
      fc.property(fc.integer({ min: 10_000, max: 60_000_000 }), (ring) => {
        const rules = { ...PLAIN, strings: { ...PLAIN.strings, ring } };
        expect(again(rules).strings.ring).toBe(ring);
      }),
    );
  });
});

describe('a note of another computer in a take of one seat', () => {
  it('is read as it was written', async () => {
    const on: Played = {
      type: 'played', t: 5, on: true, voice: 7, note: 33, velocity: 96, strength: 0.5,
      string: 2, fret: 0, how: 'hammer',
    };
    const off: Played = { type: 'played', t: 6, on: false, voice: 7, slurred: true };
    const header = '{"take":1,"inputs":1,"full":1,"made":true}';
    const text = [header, formatTakeLine(on), formatTakeLine(off), ''].join('\n');
    expect(formatTakeLine(off)).toBe('{"t":6,"played":{"on":false,"voice":7,"slurred":true}}');
    expect(await eventsIn(text)).toEqual([on, off]);
  });
});
