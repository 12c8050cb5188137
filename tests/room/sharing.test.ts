import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Rules } from '../../src/instrument/types.js';
import type { NoteEvent } from '../../src/playing/note.js';
import type { Change } from '../../src/room/change.js';
import { duckFactor } from '../../src/room/duck.js';
import { sharing, type RoomSeat } from '../../src/room/room.js';
import type { RoomPlan } from '../../src/room/plan.js';
import type { VoiceEvent, VoiceOn } from '../../src/room/voice.js';
import type { Seated } from '../../src/time/alongside.js';
import { NEVER } from '../../src/time/micros.js';
import { off, on, reset, roomOf } from './rooms.js';

const SEATS = 5;
type In = Seated<NoteEvent> | Change;

const maybe = <T>(arbitrary: fc.Arbitrary<T>): fc.Arbitrary<T | undefined> =>
  fc.option(arbitrary, { nil: undefined });
const scale = fc.option(fc.uniqueArray(fc.nat(11), { minLength: 1, maxLength: 12 }), { nil: null });
const limit = fc.constantFrom(1, 2, 3, 7, 64);

const anyMove = fc.record({
  gap: fc.oneof(fc.constant(0), fc.nat(400_000)),
  seat: fc.nat(SEATS - 1),
  string: fc.nat(3),
  note: fc.integer({ min: 30, max: 90 }),
  strength: fc.double({ min: 0, max: 1, noNaN: true }),
  act: fc.constantFrom(
    ...(['on', 'on', 'on', 'on', 'on', 'slur', 'off', 'off', 'seat', 'seat', 'room'] as const),
    ...(['lost', 'fault', 'silence all'] as const),
  ),
  mix: fc.record({
    level: maybe(fc.double({ min: 0, max: 1, noNaN: true })),
    pan: maybe(fc.double({ min: -1, max: 1, noNaN: true })),
    // More often off than on, so that most of the time most seats are heard.
    mute: maybe(fc.constantFrom(false, false, true)),
    solo: maybe(fc.constantFrom(false, false, false, false, false, true)),
    lead: maybe(fc.boolean()),
    sound: maybe(fc.integer({ min: 1, max: 128 })),
  }),
  room: fc.record({ scale: maybe(scale), duck: maybe(fc.nat(60)), voices: maybe(limit) }),
});
type Move = typeof anyMove extends fc.Arbitrary<infer T> ? T : never;

/** Only what is defined: a change leaves the rest as it is. */
function given<T extends object>(all: T): { [K in keyof T]?: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(all).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]?: Exclude<T[K], undefined>;
  };
}

/** The events of seats that keep to the contract of notes: a string's off comes before its next on. */
function eventsOf(moves: readonly Move[]): In[] {
  const events: In[] = [];
  const held = new Map<string, number>();
  let t = 0;
  for (const { gap, seat, string, note, strength, act, mix, room } of moves) {
    t += gap;
    const key = `${String(seat)}/${String(string)}`;
    const before = held.get(key);
    if (act === 'seat') events.push({ type: 'seat-change', t, seat, ...given(mix) });
    else if (act === 'room') events.push({ type: 'room-change', t, ...given(room) });
    else if (act === 'silence all') {
      held.clear();
      for (let of = 0; of < SEATS; of++) events.push(reset(t, of, 'silence'));
    } else if (act === 'lost' || act === 'fault') {
      for (const one of [...held.keys()]) if (one.startsWith(`${String(seat)}/`)) held.delete(one);
      events.push(reset(t, seat, act));
    } else {
      const slurred = act === 'slur' && before !== undefined;
      if (before !== undefined) events.push(off(t, seat, string, before, slurred));
      held.delete(key);
      if (act === 'off') continue;
      held.set(key, note);
      events.push(on(t, seat, string, note, { strength, how: slurred ? 'slide' : 'pluck' }));
    }
  }
  for (let seat = 0; seat < SEATS; seat++) events.push(reset(t, seat, 'end'));
  return events;
}

/** What each event and each wake-up put out, with what led to it. */
function* steps(
  seats: readonly RoomSeat[],
  room: RoomPlan,
  events: readonly In[],
): Generator<{ event: In | null; out: readonly VoiceEvent[] }> {
  const stage = sharing(seats, room);
  let state: unknown = stage.begin();
  let wake = NEVER;
  const step = (event: In | { type: 'wake'; t: number }): readonly VoiceEvent[] => {
    const outcome = stage.step(state, event);
    state = outcome.state;
    wake = outcome.wake;
    return outcome.out;
  };
  for (const event of events) {
    while (wake <= event.t) yield { event: null, out: step({ type: 'wake', t: wake }) };
    yield { event, out: step(event) };
  }
  while (wake !== NEVER) yield { event: null, out: step({ type: 'wake', t: wake }) };
}

const keep = fc.constantFrom<Rules['voices']['keep']>('lowest', 'highest', 'latest', 'loudest');
const anySeat: fc.Arbitrary<RoomSeat> = fc.record({
  voices: fc.record({ most: fc.integer({ min: 1, max: 4 }), keep }),
  drums: fc.boolean(),
});

describe('whatever notes and changes come', () => {
  it('every on has one off, limits hold, who is muted is silent, and silence leaves nothing', () => {
    const seen = { ons: 0, full: 0, muted: 0, moved: 0, ducked: 0 };
    fc.assert(
      fc.property(
        fc.array(anySeat, { minLength: SEATS, maxLength: SEATS }),
        fc.record({ voices: limit, scale, duck: fc.nat(60) }),
        fc.array(anyMove, { minLength: 1, maxLength: 200, size: 'max' }),
        (seats, own, moves) => {
          // What is set is followed here by itself, without the program's own bookkeeping.
          const set = { ...own };
          const mixes = Array.from({ length: SEATS }, () => ({
            level: 1,
            pan: 0,
            mute: false,
            solo: false,
            lead: false,
            sound: 1,
          }));
          const told = mixes.map(({ level, pan, sound }) => ({ level, pan, sound }));
          const open = new Map<number, VoiceOn>();
          let lastVoice = 0;
          let before = 0;
          let last: VoiceEvent | undefined;
          let slur: VoiceEvent | null = null;
          for (const { event, out } of steps(seats, roomOf(SEATS, own), eventsOf(moves))) {
            if (event?.type === 'seat-change') Object.assign(mixes[event.seat]!, event);
            if (event?.type === 'room-change') Object.assign(set, event);
            for (const one of out) {
              last = one;
              expect(one.t).toBeGreaterThanOrEqual(before);
              before = one.t;
              if (slur) expect(one).toMatchObject({ ...slurTo(slur), type: 'on' });
              slur = null;
              if (one.type === 'on') {
                seen.ons++;
                expect(one.voice).toBeGreaterThan(lastVoice);
                lastVoice = one.voice;
                open.set(one.voice, one);
                if (set.scale && !seats[one.seat]!.drums) {
                  expect(set.scale).toContain(one.note % 12);
                  if (event?.type === 'seated' && event.event.type === 'on') {
                    if (event.event.note !== one.note) seen.moved++;
                  }
                }
              } else if (one.type === 'off') {
                const begun = open.get(one.voice)!;
                expect([one.seat, one.note, one.string]).toEqual([
                  ...[begun.seat, begun.note, begun.string],
                ]);
                open.delete(one.voice);
                if (one.slurred) slur = one;
              } else if (one.type === 'silence') {
                expect(open.size).toBe(0);
              } else if (one.type === 'mix') {
                const { level, pan, sound, lead } = one;
                const mix = mixes[one.seat]!;
                expect({ pan, sound, lead }).toEqual({
                  pan: mix.pan,
                  sound: mix.sound,
                  lead: mix.lead,
                });
                if (level !== mix.level) {
                  seen.ducked++;
                  expect(level).toBeCloseTo(mix.level * duckFactor(set.duck), 12);
                  expect(mix.lead).toBe(false);
                }
                told[one.seat] = { level, pan, sound };
              }
            }
            const solos = mixes.some(({ solo }) => solo);
            for (const [seat, mix] of mixes.entries()) {
              const own = [...open.values()].filter((voice) => voice.seat === seat);
              expect(own.length).toBeLessThanOrEqual(seats[seat]!.voices.most);
              if (!mix.mute && (mix.solo || !solos)) continue;
              seen.muted++;
              expect(own).toEqual([]);
            }
            expect(open.size).toBeLessThanOrEqual(set.voices);
            if (open.size === set.voices) seen.full++;
          }
          expect(open.size).toBe(0);
          // Silence was said, and after all that the engines know every seat as it is set.
          expect(last?.type === 'silence' || last?.type === 'mix').toBe(true);
          expect(told).toEqual(mixes.map(({ level, pan, sound }) => ({ level, pan, sound })));
        },
      ),
      { numRuns: 150 },
    );
    // The property is worth nothing where nothing of it happens.
    for (const count of Object.values(seen)) expect(count).toBeGreaterThan(100);
  });
});

function slurTo(event: VoiceEvent): object {
  if (event.type !== 'off') return {};
  const { t, seat, string } = event;
  return { t, seat, string };
}
