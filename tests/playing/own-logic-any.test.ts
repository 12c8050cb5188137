import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { TouchEvent } from '../../src/pads/touch.js';
import { ownLogic } from '../../src/playing/own-logic.js';
import { LogicFault, type Logic } from '../../src/playing/own-logic-run.js';
import { setupOf } from '../../src/playing/own-logic-setup.js';
import type { Reason } from '../../src/time/events.js';
import { PLAIN } from '../support/bass.js';
import { shipped } from '../support/kinds.js';
import { runStage } from '../support/run-stage.js';

const value = fc.oneof(
  { weight: 20, arbitrary: fc.integer({ min: -1, max: 5 }) },
  fc.constantFrom(null, undefined, 127, 128, 1e9, 0.5, '3', true, {}, []),
);
const goodNote = fc.oneof(
  fc.record(
    {
      type: fc.constant('on'),
      string: fc.nat(3),
      note: fc.nat(127),
      strength: fc.double({ min: 0, max: 1, noNaN: true }),
      slur: fc.boolean(),
    },
    { requiredKeys: ['type', 'string', 'note', 'strength'] },
  ),
  fc.record({ type: fc.constant('off'), string: fc.nat(3) }),
);
const badNote = fc.record({
  type: fc.constantFrom('on', 'off', 'hold', 7),
  string: value,
  note: value,
  strength: value,
  fret: value,
  slur: value,
});
const goodAnswer = fc.record(
  { out: fc.array(goodNote, { maxLength: 6 }), wake: fc.constantFrom(null, 1, 700, 250_000) },
  { requiredKeys: [] },
);
const badAnswer = fc.oneof(
  fc.anything(),
  fc.record({ out: fc.array(fc.oneof(goodNote, badNote), { maxLength: 6 }), wake: value }),
  fc.constant('throw'),
);
const RESETS = ['silence', 'lost', 'reload', 'end'] as const;
const STRIKE = { type: 'strike', strength: 0.5, reach: 0.5, shown: 0.5, landing: 0 } as const;
interface Answer {
  readonly wake?: unknown;
}

const anyMove = fc.record({
  gap: fc.constantFrom(0, 4_000, 24_000, 500_000),
  type: fc.oneof(
    {
      weight: 12,
      arbitrary: fc.constantFrom('onset', 'strike', 'lift', 'loose', 'firm'),
    },
    { weight: 1, arbitrary: fc.constantFrom(...RESETS) },
  ),
  pad: fc.nat(19),
});

describe('whatever a module answers', () => {
  const kinds = ['bass-4x4', 'keys-13', 'pipe-8', 'drums-6'].map(shipped);
  const answers = fc.array(
    fc.oneof({ weight: 30, arbitrary: goodAnswer }, { weight: 1, arbitrary: badAnswer }),
    { minLength: 1, maxLength: 40, size: 'max' },
  );

  it('every note has one end, strings are silent before their next note, a reset ends all', () => {
    let [notes, faults, woken] = [0, 0, 0];
    fc.assert(
      fc.property(
        fc.constantFrom(...kinds),
        answers,
        fc.array(anyMove, { maxLength: 80, size: 'max' }),
        (instrument, given, moves) => {
          let calls = 0;
          const step: ReturnType<Logic['begin']>['step'] = ({ t, type }) => {
            const answer: unknown = given[calls++ % given.length];
            if (type === 'wake') woken++;
            if (answer === 'throw' || calls > 400) throw new LogicFault('thrown', 'own.ts', '');
            const wake = typeof answer === 'object' ? (answer as Answer)?.wake : null;
            return typeof wake === 'number' ? { ...(answer as object), wake: t + wake } : answer;
          };
          const run = { again: () => undefined, step, end: () => undefined };
          const logic: Logic = { file: 'own.ts', begin: () => run };
          let t = 0;
          const touches = moves.map(({ gap, type, pad }): TouchEvent => {
            t += gap;
            if (RESETS.some((why) => why === type))
              return { type: 'reset', t, why: type as Reason };
            if (type === 'strike') return { ...STRIKE, t, pad, onset: t, contact: t };
            return { type, t, pad, level: 1 } as unknown as TouchEvent;
          });
          const last: TouchEvent = { type: 'reset', t: t + 1, why: 'end' };
          let failed = 0;
          const stage = ownLogic(instrument, PLAIN, logic, () => failed++);
          const out = runStage(stage, [...touches, last]);
          expect(out.at(-1)).toEqual(last);
          const sounding = new Map<number, number>();
          out.forEach((event, i) => {
            expect(event.t).toBeGreaterThanOrEqual(out[i - 1]?.t ?? 0);
            if (event.type === 'reset') expect(sounding.size).toBe(0);
            else if (event.type === 'off') {
              expect(sounding.get(event.string)).toBe(event.note);
              sounding.delete(event.string);
              const next = out[i + 1];
              if (event.slurred) expect(next).toMatchObject({ type: 'on', string: event.string });
            } else {
              expect(sounding.has(event.string)).toBe(false);
              sounding.set(event.string, event.note);
              for (const [is, least, most] of [
                [event.note, 0, 127],
                [event.velocity, 1, 127],
                [event.string, 0, setupOf(instrument, PLAIN).strings.length - 1],
              ] as const) {
                expect(Number.isInteger(is) && is >= least && is <= most).toBe(true);
              }
            }
          });
          expect(sounding.size).toBe(0);
          expect(failed).toBeLessThanOrEqual(1);
          const passed = out.filter((e) => e.type === 'reset' && e.why !== 'fault');
          expect(passed).toEqual([...touches, last].filter(({ type }) => type === 'reset'));
          notes += out.filter(({ type }) => type === 'on').length;
          faults += failed;
        },
      ),
      { numRuns: 600 },
    );
    // The property is worth nothing where nothing plays, fails or is woken.
    for (const count of [notes, faults, woken]) expect(count).toBeGreaterThan(150);
  });
});
