import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { way, type WayEvent } from '../../src/pipeline.js';
import { plainRoom, type SeatMix } from '../../src/room/plan.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { demoReadings } from '../../src/demo/demo.js';
import { padCount } from '../../src/instrument/instrument.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { planOf, shipped } from '../support/kinds.js';
import { runStage } from '../support/run-stage.js';

/** Of all kinds, and of two sizes. */
const INSTRUMENTS = ['bass-4x4', 'ukulele-4x6', 'keys-13', 'pipe-8', 'drums-6'].map(shipped);
const PLANS = INSTRUMENTS.map((instrument) => planOf(instrument));
const SLOTS = 4;

interface Move {
  readonly gap: number;
  readonly slot: number;
  readonly act: 'play' | 'join' | 'leave' | 'solo' | 'lead';
  readonly which: number;
  readonly readings: readonly (readonly [number, number])[];
}

const anyMove: fc.Arbitrary<Move> = fc.record({
  gap: fc.oneof(fc.constantFrom(0, 4_000), fc.nat(150_000)),
  slot: fc.nat(SLOTS - 1),
  act: fc.constantFrom<Move['act']>(
    ...(['play', 'play', 'play', 'play', 'play', 'play', 'play', 'play'] as const),
    ...(['join', 'join', 'leave', 'solo', 'lead'] as const),
  ),
  which: fc.nat(INSTRUMENTS.length - 1),
  readings: fc.array(fc.tuple(fc.nat(25), fc.constantFrom(0, 1_000, 1_200, 2_500, 9_000, 16_383)), {
    minLength: 1,
    maxLength: 20,
  }),
});

const MIX: SeatMix = { ...plainRoom(1).mixes[0]! };

/** A room that begins with a bass in the first slot and nobody in the others. */
function eventsOf(moves: readonly Move[]): WayEvent[] {
  const events: WayEvent[] = [];
  let t = 0;
  for (const { gap, slot: seat, act, which, readings } of moves) {
    t += gap;
    switch (act) {
      case 'join':
        events.push({
          type: 'join',
          t,
          seat,
          name: `${String(seat)} ${String(events.length)}`,
          plan: PLANS[which]!,
          mix: { ...MIX, solo: which === 4 && seat > 1, lead: which === 3, sound: which + 1 },
        });
        break;
      case 'leave':
        events.push({ type: 'leave', t, seat });
        break;
      case 'solo':
        events.push({ type: 'seat-change', t, seat, solo: which > 3 });
        break;
      case 'lead':
        events.push({ type: 'seat-change', t, seat, lead: which > 2 });
        break;
      case 'play': {
        const event: WireEvent = {
          type: 'scan',
          t,
          inputs: readings.map(([input]) => input),
          raws: readings.map(([, raw]) => raw),
        };
        events.push({ type: 'seated', t, seat, event });
        break;
      }
    }
  }
  for (let seat = 0; seat < SLOTS; seat++) {
    events.push({ type: 'seated', t, seat, event: { type: 'reset', t, why: 'end' } });
  }
  return events;
}

function play(events: readonly WayEvent[]): { heard: VoiceEvent[]; faults: unknown[] } {
  const faults: unknown[] = [];
  const room = { ...plainRoom(1), voices: 6, duck: 9 };
  const stage = way([PLANS[0]!], room, (_seat, _t, error) => faults.push(error));
  return { heard: runStage(stage, events), faults };
}

describe('whoever joins and leaves', () => {
  it('every note has one off, and a slot sounds only between its join and its leave', () => {
    const seen = { ons: 0, joined: 0, left: 0, cut: 0 };
    fc.assert(
      fc.property(fc.array(anyMove, { minLength: 1, maxLength: 250, size: 'max' }), (moves) => {
        const events = eventsOf(moves);
        const { heard, faults } = play(events);
        expect(faults).toEqual([]);
        const open = new Map<number, number>();
        const begun = new Set<number>();
        const names = new Map<number, string>([[0, 'the first']]);
        const told = new Set([0]);
        heard.forEach((event, i) => {
          if (event.type === 'silence') {
            expect(open.size).toBe(0);
            return;
          }
          switch (event.type) {
            case 'joined':
              seen.joined++;
              expect(names.has(event.seat)).toBe(false);
              names.set(event.seat, event.sound.name);
              told.delete(event.seat);
              break;
            case 'left':
              seen.left++;
              expect(names.delete(event.seat)).toBe(true);
              expect([...open.values()]).not.toContain(event.seat);
              if (heard[i - 1]?.type === 'off') seen.cut++;
              break;
            case 'on':
              seen.ons++;
              expect(names.has(event.seat)).toBe(true);
              expect(told.has(event.seat)).toBe(true);
              expect(begun.has(event.voice)).toBe(false);
              begun.add(event.voice);
              open.set(event.voice, event.seat);
              break;
            case 'off':
              expect(open.get(event.voice)).toBe(event.seat);
              open.delete(event.voice);
              break;
            case 'mix':
              expect(names.has(event.seat)).toBe(true);
              told.add(event.seat);
              break;
          }
        });
        expect(open.size).toBe(0);
        // Who plays at the end is who joined last in each slot, by the events alone.
        const last = new Map<number, string>([[0, 'the first']]);
        for (const event of events) {
          if (event.type === 'join') last.set(event.seat, event.name);
          else if (event.type === 'leave') last.delete(event.seat);
        }
        expect(Object.fromEntries(names)).toEqual(Object.fromEntries(last));
        expect(play(events).heard).toEqual(heard);
      }),
      { numRuns: 150 },
    );
    // The property is worth nothing where nothing of it happens.
    for (const count of Object.values(seen)) expect(count).toBeGreaterThan(100);
  });

  it('those who play on lose no note and get none, whoever comes and goes beside them', () => {
    const [bass] = PLANS;
    const length = 20_000_000;
    const steady: WayEvent[] = [];
    for (const event of demoReadings(INSTRUMENTS[0]!, padCount(INSTRUMENTS[0]!))) {
      if (event.t > length) break;
      steady.push({ type: 'seated', t: event.t, seat: 0, event });
    }
    const notesOf = (others: readonly WayEvent[]): unknown[] => {
      const all = [...steady, ...others].sort((a, b) => a.t - b.t);
      const stage = way([bass!], plainRoom(1), (_seat, _t, error) => {
        throw error;
      });
      return runStage(stage, all).flatMap((event) => {
        if ((event.type !== 'on' && event.type !== 'off') || event.seat !== 0) return [];
        return [{ ...event, voice: 0 }];
      });
    };
    const alone = notesOf([]);
    expect(alone.length).toBeGreaterThan(30);
    const moves = fc.array(
      anyMove.map((move) => ({ ...move, gap: 4 * move.gap, slot: 1 + (move.slot % 3) })),
      { minLength: 50, maxLength: 150, size: 'max' },
    );
    fc.assert(
      fc.property(moves, (some) => {
        const others = eventsOf(some).filter(
          (event) =>
            event.t < length &&
            event.type !== 'seat-change' &&
            !('seat' in event && event.seat === 0),
        );
        const unheard = others.map((event) =>
          event.type === 'join' ? { ...event, mix: { ...event.mix, solo: false } } : event,
        );
        expect(notesOf(unheard)).toEqual(alone);
      }),
      { numRuns: 25 },
    );
  });
});
