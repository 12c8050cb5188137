import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Rules } from '../../src/instrument/types.js';
import { velocityCurve } from '../../src/playing/velocity.js';

type Curve = Rules['velocity']['curve'];

const at = (curve: Curve, softest = 1, hardest = 127): ((strength: number) => number) =>
  velocityCurve({ softest, hardest, curve });

describe('a number for a curve', () => {
  it('gives the ends exactly, and the power between them', () => {
    expect([0, 0.5, 1].map(at(1, 20, 120))).toEqual([20, 70, 120]);
    // 0.5² is a quarter of the way, √0.25 is half of it.
    expect([0, 0.5, 1].map(at(2, 20, 120))).toEqual([20, 45, 120]);
    expect([0, 0.25, 1].map(at(0.5, 20, 120))).toEqual([20, 70, 120]);
  });
});

describe('square', () => {
  /** facts.md, "Loudness of notes and rooms": the square law over 60 dB (Dannenberg, ICMC 2006). */
  const LOUDNESS: [velocity: number, decibels: number][] = [
    [1, -60],
    [32, -22.75],
    [64, -11.5],
    [96, -4.73],
    [127, 0],
  ];

  it.each(LOUDNESS)('gives velocity %d for a strength of %d dB', (velocity, decibels) => {
    expect(at('square')(10 ** (decibels / 20))).toBe(velocity);
  });

  it('stays from softest to hardest, and is the same between them', () => {
    expect(
      [0, 0.000_1, 10 ** (-22.75 / 20), 10 ** (-11.5 / 20), 1].map(at('square', 40, 90)),
    ).toEqual([40, 40, 40, 64, 90]);
  });
});

describe('a table', () => {
  const table = at([
    [0.2, 20],
    [0.6, 100],
    [0.8, 110],
  ]);

  it('goes through its points in straight lines, and is flat outside them', () => {
    expect([0.2, 0.6, 0.8].map(table)).toEqual([20, 100, 110]);
    expect([0.3, 0.4, 0.5, 0.7].map(table)).toEqual([40, 60, 80, 105]);
    expect([0, 0.19, 0.81, 1].map(table)).toEqual([20, 20, 110, 110]);
  });

  it('stands as it is: softest and hardest do not change it', () => {
    expect(
      [0, 1].map(
        at(
          [
            [0, 1],
            [1, 127],
          ],
          40,
          90,
        ),
      ),
    ).toEqual([1, 127]);
  });
});

describe('every curve', () => {
  const velocity = fc.integer({ min: 1, max: 127 });
  const table = fc
    .uniqueArray(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 2, maxLength: 8 })
    .chain((strengths) =>
      fc
        .array(velocity, { minLength: strengths.length, maxLength: strengths.length })
        .map((velocities) => {
          const rising = strengths.sort((a, b) => a - b);
          const notFalling = velocities.sort((a, b) => a - b);
          return rising.map((strength, i) => [strength, notFalling[i]!] as const);
        }),
    );
  const anyRules = fc.record({
    curve: fc.oneof(
      fc.double({ min: 0.1, max: 10, noNaN: true }),
      fc.constant('square' as const),
      table,
    ),
    ends: fc.tuple(velocity, velocity).map((two) => two.sort((a, b) => a - b)),
  });

  it('gives whole numbers from 1 to 127 that never fall, whatever the strength', () => {
    fc.assert(
      fc.property(
        anyRules,
        fc.array(fc.double({ min: -0.5, max: 1.5, noNaN: true }), { minLength: 2 }),
        ({ curve, ends: [softest, hardest] }, strengths) => {
          const velocities = strengths.sort((a, b) => a - b).map(at(curve, softest, hardest));
          let before = 1;
          for (const one of velocities) {
            expect(Number.isInteger(one)).toBe(true);
            expect(one).toBeGreaterThanOrEqual(before);
            expect(one).toBeLessThanOrEqual(127);
            before = one;
          }
        },
      ),
    );
  });
});
