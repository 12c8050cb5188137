import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { wiringFrom } from '../../src/wiring/build.js';
import type { WireKey } from '../../src/wiring/watch.js';
import type { Reason } from '../../src/time/events.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { learn, LIVE, TAKE } from './learn.js';
import { changesOf, wireUnit } from './unit.js';

const reasons: Reason[] = ['lost', 'quiet', 'reload', 'overflow', 'fault', 'silence', 'end'];

/** Anything that can come: readings of few inputs so that they meet, keys, and what goes wrong. */
const anything = (full: number): fc.Arbitrary<(WireEvent | WireKey)[]> =>
  fc
    .array(
      fc.tuple(
        fc.integer({ min: 0, max: 700_000 }),
        fc.oneof(
          {
            weight: 12,
            arbitrary: fc
              .array(fc.tuple(fc.integer({ min: 0, max: 6 }), fc.integer({ min: 0, max: full })), {
                maxLength: 7,
              })
              .map((pairs) => ({
                type: 'scan' as const,
                inputs: pairs.map(([input]) => input),
                raws: pairs.map(([, raw]) => raw),
              })),
          },
          fc.constantFrom('skip', 'back', 'back').map((key) => ({ type: 'key' as const, key })),
          fc.constantFrom(...reasons).map((why) => ({ type: 'reset' as const, why })),
        ),
      ),
      { maxLength: 120 },
    )
    .map((list) => {
      let t = 0;
      return list.map(([step, event]) => ({ ...event, t: (t += step) }) as WireEvent | WireKey);
    });

function expectSound(learned: ReturnType<typeof learn>, pads: number): void {
  let ends = 0;
  for (const notice of learned.notices) {
    if (notice.type !== 'kept' && notice.type !== 'left') continue;
    ends++;
    const wired = notice.answers.filter(({ input }) => input !== null);
    expect(new Set(notice.answers.map(({ pad }) => pad)).size).toBe(notice.answers.length);
    expect(new Set(wired.map(({ input }) => input)).size).toBe(wired.length);
    expect(notice.answers.length === pads).toBe(notice.type === 'kept');
    const wiring = wiringFrom(notice.answers, 6);
    const found = wiring.filter((pad) => pad !== null);
    expect(new Set(found).size).toBe(found.length);
    expect(found).toHaveLength(wired.length);
  }
  expect(ends).toBe(1);
  expect(learned.notices.at(-1)!.type).toMatch(/kept|left/);
}

describe('whatever comes in', () => {
  it('no pad has two inputs, no input two pads, and it ends once', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(127, 16_383).chain((full) => fc.tuple(fc.constant(full), anything(full))),
        fc.boolean(),
        fc.boolean(),
        ([full, events], decided, live) => {
          const plan = { ...(live ? LIVE : TAKE), order: [2, 0, 1] };
          expectSound(learn(events, plan, { pads: 3, full, decided }), 3);
        },
      ),
      { numRuns: 400 },
    );
  });

  it('however the pads are touched, keys or not', () => {
    const touch = fc.record({
      pad: fc.integer({ min: 0, max: 5 }),
      gap: fc.integer({ min: -150, max: 900 }),
      long: fc.oneof(
        fc.integer({ min: 5, max: 700 }),
        fc.integer({ min: 1_900, max: 2_600 }),
        fc.constant(5_500),
      ),
    });
    const press = fc.tuple(
      fc.integer({ min: 0, max: 20_000 }),
      fc.constantFrom('skip' as const, 'back' as const),
    );
    fc.assert(
      fc.property(
        fc.array(touch, { maxLength: 14 }),
        fc.array(press, { maxLength: 6 }),
        fc.integer({ min: 1, max: 500 }),
        fc.boolean(),
        (touches, pressed, seed, sparse) => {
          let at = 800;
          const presses = touches.map(({ pad, gap, long }) => {
            const from = Math.max(100, at + gap);
            at = from + long;
            return { pad, at: from, until: at };
          });
          const unit = wireUnit({ pads: 6, seed, inputs: 7, rate: 100, sign: 0 });
          const events = sparse
            ? changesOf(presses, unit.inputOf)
            : unit.scans(presses, Math.max(...presses.map(({ until }) => until), 0) / 1_000 + 1);
          const keys = pressed.map(([ms, key]): WireKey => ({ type: 'key', t: ms * 1_000, key }));
          const kind = { pads: 4, full: sparse ? 127 : 16_383, decided: false };
          expectSound(learn([...events, ...keys], { ...LIVE, order: [3, 1, 0, 2] }, kind), 4);
        },
      ),
      { numRuns: 60 },
    );
  });
});
