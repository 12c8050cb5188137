import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import type { Rules } from '../../src/instrument/types.js';
import { plainRoom } from '../../src/room/plan.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { way } from '../../src/pipeline.js';
import type { Seated } from '../../src/time/alongside.js';
import type { Reason } from '../../src/time/events.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { bassPlan, PLAIN } from '../support/bass.js';
import { runStage } from '../support/run-stage.js';

const SEATS = 2;
const PADS = 20;

const anyRules: fc.Arbitrary<Rules> = fc.record({
  name: fc.constant('any'),
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
  keys: fc.constant(PLAIN.keys),
  holes: fc.constant(PLAIN.holes),
  hits: fc.constant(PLAIN.hits),
  voices: fc.record({
    most: fc.integer({ min: 1, max: 4 }),
    keep: fc.constantFrom('lowest', 'highest', 'latest', 'loudest'),
  }),
});

/** Whatever a board, a broken board or somebody's elbow might send. */
const anyEvent: fc.Arbitrary<{ gap: number; seat: number; event: (t: number) => WireEvent }> =
  fc.record({
    gap: fc.oneof(fc.constantFrom(0, 4_000), fc.nat(200_000)),
    seat: fc.nat(SEATS - 1),
    event: fc.oneof(
      {
        weight: 20,
        arbitrary: fc
          .array(
            fc.tuple(fc.nat(PADS + 2), fc.constantFrom(0, 1_000, 1_200, 1_600, 2_500, 16_383)),
            {
              maxLength: PADS,
            },
          )
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
          .constantFrom<Reason>('lost', 'overflow', 'reload', 'silence')
          .map((why) => (t: number): WireEvent => ({ type: 'reset', t, why })),
      },
    ),
  });

function playAll(
  rules: Rules,
  moves: readonly { gap: number; seat: number; event: (t: number) => WireEvent }[],
  decided: boolean,
): { heard: VoiceEvent[]; faults: unknown[] } {
  const faults: unknown[] = [];
  const plan = bassPlan(rules);
  const full = decided ? 127 : 16_383;
  const seat = { ...plan, pads: { ...plan.pads, decided, full } };
  let t = 0;
  const events: Seated<WireEvent>[] = moves.map(({ gap, seat: of, event }) => {
    t += gap;
    return { type: 'seated', t, seat: of, event: event(t) };
  });
  for (let of = 0; of < SEATS; of++) {
    events.push({ type: 'seated', t, seat: of, event: { type: 'reset', t, why: 'end' } });
  }
  const stage = way([seat, seat], plainRoom(2), (_seat, _t, error) => faults.push(error));
  return { heard: runStage(stage, events), faults };
}

describe('whatever comes in', () => {
  it('every note on has exactly one off, a string sounds one note, and all ends', () => {
    let notes = 0;
    fc.assert(
      fc.property(
        anyRules,
        fc.array(anyEvent, { minLength: 1, maxLength: 300, size: 'max' }),
        fc.boolean(),
        (rules, moves, decided) => {
          const { heard, faults } = playAll(rules, moves, decided);
          expect(faults).toEqual([]);
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
              expect(ofSeat.length).toBeLessThanOrEqual(rules.voices.most);
              expect(event.note).toBeGreaterThanOrEqual(28);
              expect(event.note).toBeLessThanOrEqual(47);
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
          expect(heard.at(-1)?.type).toBe('silence');
        },
      ),
      { numRuns: 400 },
    );
    // The property is worth nothing where nothing plays.
    expect(notes).toBeGreaterThan(1_000);
  });

  it('the same input gives the same output', () => {
    fc.assert(
      fc.property(anyRules, fc.array(anyEvent, { maxLength: 100 }), (rules, moves) => {
        expect(playAll(rules, moves, false)).toEqual(playAll(rules, moves, false));
      }),
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
          const moves = Array.from({ length: 1_000 }, (_, k) => ({
            gap: 4_000,
            seat: 0,
            event: (t: number): WireEvent => ({
              type: 'scan',
              t,
              inputs: rest.map((_, i) => i),
              raws: rest.map((raw, i) => raw + 8 + flicker[(k * 7 + i * 3) % 40]!),
            }),
          }));
          const { heard } = playAll(rules, moves, false);
          expect(heard.filter(({ type }) => type !== 'silence')).toEqual([]);
        },
      ),
      { numRuns: 20 },
    );
  });
});
