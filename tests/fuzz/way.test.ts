import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import type { Rules } from '../../src/instrument/types.js';
import type { Change, Wish } from '../../src/room/change.js';
import { plainRoom, type RoomPlan } from '../../src/room/plan.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { way } from '../../src/pipeline.js';
import type { Seated } from '../../src/time/alongside.js';
import type { Reason } from '../../src/time/events.js';
import type { Swap, WireEvent } from '../../src/wire/scan.js';
import { PLAIN } from '../support/bass.js';
import { notesOn, planOf, shipped } from '../support/kinds.js';
import { runStage } from '../support/run-stage.js';

/** One of each kind, and a second bass. */
const INSTRUMENTS = ['bass-4x4', 'bass-4x4', 'keys-13', 'pipe-8', 'drums-6'].map(shipped);
const SEATS = INSTRUMENTS.length;
const PADS = 20;

const anyRules: fc.Arbitrary<Rules> = fc.record({
  name: fc.constant('any'),
  logic: fc.constant(null),
  touch: fc.record({
    on: fc.constantFrom(0.3, 0.5, 0.8),
    off: fc.constantFrom(0.1, 0.29),
    lift: fc.constantFrom(0, 5_000, 40_000),
  }),
  strength: fc.record({ readings: fc.nat(3), within: fc.constantFrom(0, 6_000, 30_000) }),
  velocity: fc.constant(PLAIN.velocity),
  strings: fc.record({
    stop: fc.constantFrom('highest', 'lowest', 'latest'),
    'hammer-on': fc.boolean(),
    'pull-off': fc.boolean(),
    slide: fc.boolean(),
    'slide-overlap': fc.constantFrom(0, 120_000),
    'slide-gap': fc.constantFrom(0, 30_000),
    'pluck-after': fc.constantFrom(null, 0, 130_000, 500_000),
    'wait-for-pluck': fc.constantFrom('never', 'often', 'always'),
    ring: fc.constantFrom(1, 50_000, 4_000_000),
    'damp-by-fret': fc.boolean(),
    'damp-by-hold': fc.constantFrom(null, 0, 30_000),
    'late-fret': fc.constantFrom(null, 0, 22_000, 200_000),
    'wait-for-fret': fc.constantFrom('never', 'often', 'always'),
    'early-lift': fc.constantFrom(0, 36_000, 200_000),
    'resting-thumb': fc.constantFrom(null, 1_000, 6_000, 1_000_000),
    brush: fc.constantFrom(null, 0, 36_000, 200_000),
    'brush-share': fc.constantFrom(0, 0.65, 1),
  }),
  keys: fc.record({ 'ring-on': fc.constantFrom(0, 100_000) }),
  holes: fc.record({
    settle: fc.constantFrom(0, 20_000, 55_000),
    'mouth-waits': fc.boolean(),
    unknown: fc.constantFrom('keep', 'end'),
  }),
  hits: fc.record({ mask: fc.constantFrom(0, 40_000), ring: fc.constantFrom(1, 400_000) }),
  voices: fc.record({
    most: fc.integer({ min: 1, max: 4 }),
    keep: fc.constantFrom('lowest', 'highest', 'latest', 'loudest'),
  }),
});

const anyScale = fc.option(fc.uniqueArray(fc.nat(11), { minLength: 1 }), { nil: null });
const anyVoices = fc.constantFrom(2, 5, 64);

const anyRoom: fc.Arbitrary<RoomPlan> = fc
  .record({ voices: anyVoices, scale: anyScale, duck: fc.constantFrom(0, 9) })
  .map((own) => ({ ...plainRoom(SEATS), ...own }));

/** Whatever people may do to the sharing while others play. */
const anyWish: fc.Arbitrary<Wish> = fc.oneof(
  fc.record({
    type: fc.constant('seat-change' as const),
    seat: fc.nat(SEATS - 1),
    level: fc.constantFrom(0, 0.5, 1),
    pan: fc.constantFrom(-1, 0, 1),
    mute: fc.boolean(),
    solo: fc.boolean(),
    lead: fc.boolean(),
    sound: fc.integer({ min: 1, max: 128 }),
  }),
  fc.record({
    type: fc.constant('room-change' as const),
    scale: anyScale,
    voices: anyVoices,
    duck: fc.constantFrom(0, 9),
  }),
);

interface Move {
  readonly gap: number;
  readonly seat: number;
  readonly make: (t: number) => WireEvent | Change;
}

/** Whatever a board, a broken board or somebody's elbow might send. */
const anyMove: fc.Arbitrary<Move> = fc.record({
  gap: fc.oneof(fc.constantFrom(0, 4_000), fc.nat(200_000)),
  seat: fc.nat(SEATS - 1),
  make: fc.oneof(
    {
      weight: 20,
      arbitrary: fc
        .array(fc.tuple(fc.nat(PADS + 2), fc.constantFrom(0, 1_000, 1_200, 1_600, 2_500, 16_383)), {
          maxLength: PADS,
        })
        .map((readings) => (t: number): WireEvent => ({
          type: 'scan',
          t,
          inputs: readings.map(([input]) => input),
          raws: readings.map(([, raw]) => raw),
        })),
    },
    {
      weight: 1,
      arbitrary: fc
        .constantFrom<Reason>('lost', 'quiet', 'overflow', 'reload', 'silence')
        .map((why) => (t: number): WireEvent => ({ type: 'reset', t, why })),
    },
    { weight: 1, arbitrary: anyWish.map((wish) => (t: number): Change => ({ ...wish, t })) },
    {
      weight: 1,
      arbitrary: anyRules.map((rules) => (t: number): Swap => ({ type: 'swap', t, rules })),
    },
  ),
});

function isChange(event: WireEvent | Change): event is Change {
  return event.type === 'seat-change' || event.type === 'room-change';
}

function playAll(
  rules: Rules,
  room: RoomPlan,
  moves: readonly Move[],
  decided: boolean,
): {
  heard: VoiceEvent[];
  changes: Change[];
  swaps: { seat: number; t: number; most: number }[];
  faults: unknown[];
} {
  const faults: unknown[] = [];
  const full = decided ? 127 : 16_383;
  const seats = INSTRUMENTS.map((instrument) => {
    const plan = planOf(instrument, rules);
    return { ...plan, pads: { ...plan.pads, decided, full } };
  });
  let t = 0;
  const events: (Seated<WireEvent> | Change)[] = moves.map(({ gap, seat, make }) => {
    t += gap;
    const event = make(t);
    return isChange(event) ? event : { type: 'seated', t, seat, event };
  });
  for (let of = 0; of < SEATS; of++) {
    events.push({ type: 'seated', t, seat: of, event: { type: 'reset', t, why: 'end' } });
  }
  const stage = way(seats, room, (_seat, _t, error) => faults.push(error));
  const changes = events.filter((event) => event.type !== 'seated');
  const swaps = events.flatMap((event) => {
    if (event.type !== 'seated' || event.event.type !== 'swap') return [];
    return [{ seat: event.seat, t: event.t, most: event.event.rules!.voices.most }];
  });
  return { heard: runStage(stage, events), changes, swaps, faults };
}

describe('whatever comes in', () => {
  it('every note on has exactly one off, a string sounds one note, and all ends', () => {
    let notes = 0;
    const kinds = new Set<string>();
    fc.assert(
      fc.property(
        ...[anyRules, anyRoom, fc.array(anyMove, { minLength: 1, maxLength: 300, size: 'max' })],
        fc.boolean(),
        (rules, room, moves, decided) => {
          const { heard, changes, swaps, faults } = playAll(rules, room, moves, decided);
          expect(faults).toEqual([]);
          const scales = [room, ...changes].flatMap((one) =>
            'scale' in one && one.scale !== undefined ? [one.scale] : [],
          );
          const most = Math.max(
            ...[room, ...changes].flatMap((one) => ('voices' in one ? (one.voices ?? []) : [])),
          );
          // Of a swap at a note's very time it is not known here which of the two came first.
          const mostOf = (seat: number, t: number): number => {
            const own = swaps.filter((one) => one.seat === seat);
            const before = own.findLast((one) => one.t < t)?.most ?? rules.voices.most;
            return Math.max(before, ...own.flatMap((one) => (one.t === t ? one.most : [])));
          };
          const open = new Map<number, { seat: number; string: number; note: number }>();
          const begun = new Set<number>();
          let before = 0;
          heard.forEach((event, i) => {
            expect(event.t).toBeGreaterThanOrEqual(before);
            before = event.t;
            if (event.type === 'silence') {
              expect(open.size).toBe(0);
            } else if (event.type === 'on') {
              notes += 1;
              expect(begun.has(event.voice)).toBe(false);
              begun.add(event.voice);
              for (const other of open.values()) {
                expect([other.seat, other.string]).not.toEqual([event.seat, event.string]);
              }
              open.set(event.voice, event);
              const ofSeat = [...open.values()].filter(({ seat }) => seat === event.seat);
              expect(ofSeat.length).toBeLessThanOrEqual(mostOf(event.seat, event.t));
              expect(open.size).toBeLessThanOrEqual(most);
              const own = INSTRUMENTS[event.seat]!;
              expect(
                notesOn(own).has(event.note) ||
                  (own.kind !== 'hits' && scales.some((one) => one?.includes(event.note % 12))),
              ).toBe(true);
              kinds.add(own.kind);
              expect(event.velocity).toBeGreaterThanOrEqual(1);
              expect(event.velocity).toBeLessThanOrEqual(127);
            } else if (event.type === 'off') {
              expect(open.get(event.voice)?.note).toBe(event.note);
              open.delete(event.voice);
              if (event.slurred) {
                expect(heard[i + 1]).toMatchObject({
                  type: 'on',
                  t: event.t,
                  seat: event.seat,
                  string: event.string,
                });
              }
            }
          });
          expect(open.size).toBe(0);
          // After it nothing comes but levels that go up again.
          const last = heard.findLastIndex(({ type }) => type === 'silence');
          expect(heard.slice(last).map(({ type }) => type)).not.toContain('on');
          expect(last).toBeGreaterThanOrEqual(0);
        },
      ),
      { numRuns: 400 },
    );
    // The property is worth nothing where nothing plays.
    expect(notes).toBeGreaterThan(1_000);
    expect(kinds.size).toBe(4);
  });

  it('the same input gives the same output', () => {
    fc.assert(
      fc.property(
        ...[anyRules, anyRoom, fc.array(anyMove, { maxLength: 100 })],
        (rules, room, moves) => {
          expect(playAll(rules, room, moves, false)).toEqual(playAll(rules, room, moves, false));
        },
      ),
      { numRuns: 50 },
    );
  });

  it('sounds nothing where nothing was touched, from the first reading on', () => {
    fc.assert(
      fc.property(
        anyRules,
        fc.array(fc.nat(16_000), { minLength: PADS, maxLength: PADS }),
        fc.array(fc.integer({ min: -8, max: 8 }), { minLength: 40, maxLength: 40 }),
        (rules, rest, flicker) => {
          const moves = Array.from({ length: 5_000 }, (_, k) => ({
            gap: 800,
            seat: k % SEATS,
            make: (t: number): WireEvent => ({
              type: 'scan',
              t,
              inputs: rest.map((_, i) => i),
              raws: rest.map((raw, i) => raw + 8 + flicker[(k * 7 + i * 3) % 40]!),
            }),
          }));
          const { heard } = playAll(rules, plainRoom(SEATS), moves, false);
          expect(heard.filter(({ type }) => type !== 'silence')).toEqual([]);
        },
      ),
      { numRuns: 20 },
    );
  });
});
