import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fingering, Instrument, Rules } from '../../src/instrument/types.js';
import type { TouchEvent } from '../../src/pads/touch.js';
import type { NoteEvent } from '../../src/playing/note.js';
import { playing } from '../../src/playing/playing.js';
import type { Reason } from '../../src/time/events.js';
import { PLAIN } from '../support/bass.js';
import { runStage } from '../support/run-stage.js';

const PADS = 5;
const pads = Array.from({ length: PADS }, (_, pad) => pad);
const HOW = { keys: 'press', holes: 'blow', hits: 'hit' } as const;

const fingerings = fc.array(
  fc.record<Fingering>({
    note: fc.integer({ min: 60, max: 80 }),
    holes: fc.array(fc.constantFrom('closed', 'open', 'either'), { minLength: 4, maxLength: 4 }),
  }),
  { minLength: 1, maxLength: 8 },
);

const anyInstrument: fc.Arbitrary<Exclude<Instrument, { kind: 'strings' }>> = fc.oneof(
  fc.constant<Instrument & { kind: 'keys' }>({
    name: 'row',
    kind: 'keys',
    sound: 1,
    keys: pads.map((pad) => ({ note: 60 + pad, pad })),
  }),
  fc.constant<Instrument & { kind: 'hits' }>({
    name: 'set',
    kind: 'hits',
    sound: 1,
    hits: pads.map((pad) => ({ drum: 36 + pad, pad })),
  }),
  fc.tuple(fingerings, fc.constantFrom(4, null)).map(([chart, mouth]) => ({
    name: 'pipe',
    kind: 'holes' as const,
    sound: 75,
    holes: [0, 1, 2, 3],
    mouth,
    fingerings: chart,
  })),
);

const anyRules: fc.Arbitrary<Rules> = fc
  .record({
    keys: fc.record({ 'ring-on': fc.constantFrom(0, 1, 30_000, 2_000_000) }),
    holes: fc.record({
      settle: fc.constantFrom(0, 1, 10_000, 55_000, 400_000),
      'mouth-waits': fc.boolean(),
      unknown: fc.constantFrom<'keep' | 'end'>('keep', 'end'),
    }),
    hits: fc.record({
      mask: fc.constantFrom(0, 40_000, 1_000_000),
      ring: fc.constantFrom(1, 30_000, 400_000),
    }),
  })
  .map((own) => ({ ...PLAIN, ...own }));

/** What may come, in any order: also what the touches stage would never tell. */
const anyMove = fc.record({
  gap: fc.oneof(fc.constantFrom(0, 4_000, 24_000), fc.nat(120_000), fc.constant(500_000)),
  what: fc.oneof(
    {
      weight: 30,
      arbitrary: fc.record({
        type: fc.constantFrom('onset', 'strike', 'loose', 'firm', 'lift'),
        pad: fc.nat(PADS),
        strength: fc.double({ min: 0, max: 1, noNaN: true }),
      }),
    },
    { weight: 1, arbitrary: fc.constantFrom<Reason>('silence', 'lost', 'overflow') },
  ),
});

function eventsOf(moves: readonly { gap: number; what: Reason | { type: string } }[]) {
  let t = 0;
  const onsets = new Map<number, number>();
  return moves.map(({ gap, what }): TouchEvent => {
    t += gap;
    if (typeof what === 'string') return { type: 'reset', t, why: what };
    const { type, pad, strength } = what as { type: string; pad: number; strength: number };
    if (type === 'onset') onsets.set(pad, t);
    const onset = onsets.get(pad) ?? t;
    const all = { t, pad, onset, strength, reach: strength, shown: strength, landing: 0, level: 1 };
    return { ...all, type } as unknown as TouchEvent;
  });
}

function check(
  heard: readonly NoteEvent[],
  touched: readonly TouchEvent[],
  kind: keyof typeof HOW,
) {
  const sounding = new Map<number, number>();
  let before = 0;
  heard.forEach((event, i) => {
    expect(event.t).toBeGreaterThanOrEqual(before);
    before = event.t;
    if (event.type === 'reset') {
      expect(sounding.size).toBe(0);
    } else if (event.type === 'on') {
      expect(sounding.has(event.string)).toBe(false);
      sounding.set(event.string, event.note);
      expect(Number.isInteger(event.velocity)).toBe(true);
      expect(event.velocity).toBeGreaterThanOrEqual(1);
      expect(event.velocity).toBeLessThanOrEqual(127);
      expect(event.fret).toBe(0);
      const last = heard[i - 1];
      const slurs = last?.type === 'off' && last.slurred && last.string === event.string;
      expect(event.how).toBe(slurs ? 'finger' : HOW[kind]);
    } else {
      expect(sounding.get(event.string)).toBe(event.note);
      sounding.delete(event.string);
      if (event.slurred) expect(heard[i + 1]).toMatchObject({ type: 'on', string: 0, t: event.t });
    }
  });
  const resets = (all: readonly { type: string }[]) => all.filter(({ type }) => type === 'reset');
  expect(resets(heard)).toEqual(resets(touched));
  return sounding;
}

describe('whatever touches come', () => {
  it('every note has one end, a reset leaves nothing sounding, and velocities are in range', () => {
    const notes = { keys: 0, holes: 0, hits: 0 };
    fc.assert(
      fc.property(
        anyInstrument,
        anyRules,
        fc.array(anyMove, { maxLength: 150, size: 'max' }),
        (instrument, rules, moves) => {
          const touched = eventsOf(moves);
          const end: TouchEvent = { type: 'reset', t: (touched.at(-1)?.t ?? 0) + 1, why: 'end' };
          const heard = runStage(playing(instrument, rules), [...touched, end]);
          expect(check(heard, [...touched, end], instrument.kind).size).toBe(0);
          expect(heard.at(-1)).toEqual(end);
          notes[instrument.kind] += heard.filter(({ type }) => type === 'on').length;
        },
      ),
      { numRuns: 1_500 },
    );
    // The property is worth nothing where nothing plays.
    for (const count of Object.values(notes)) expect(count).toBeGreaterThan(200);
  });

  it('nothing is left sounding once all fingers have left, without a reset', () => {
    fc.assert(
      fc.property(
        anyInstrument,
        anyRules,
        fc.array(anyMove, { maxLength: 100, size: 'max' }),
        (instrument, rules, moves) => {
          const touched = eventsOf(moves);
          const t = (touched.at(-1)?.t ?? 0) + 1_000;
          const lifts = pads.map((pad): TouchEvent => ({ type: 'lift', t, pad }));
          const heard = runStage(playing(instrument, rules), [...touched, ...lifts]);
          expect(check(heard, touched, instrument.kind).size).toBe(0);
        },
      ),
      { numRuns: 1_000 },
    );
  });
});
