import { describe, expect, it } from 'vitest';
import type { Build } from '../../../src/instrument/types.js';
import { inputsSeen, ranges } from '../../../src/ports/attendance/inputs-seen.js';
import { MILLISECOND } from '../../../src/time/micros.js';
import { BASS } from '../../support/bass.js';

const plan = { pads: 20, build: null as Build | null, full: 16_383, decided: false };

/** What is said of a board that sends these inputs in turn, in ten seconds. */
function said(
  inputs: (ms: number) => readonly number[],
  steady = true,
  build: Build | null = null,
) {
  const seen = inputsSeen(BASS, { ...plan, build }, 0);
  for (let ms = 0; ms < 10_000; ms += 10) {
    seen.see(inputs(ms));
    const found = seen.look(ms * MILLISECOND, steady);
    if (found !== null) return found;
  }
  return null;
}

const upTo = (count: number, from = 0): number[] =>
  Array.from({ length: count }, (_, i) => from + i);

describe('what a board sends', () => {
  it('fits where there is an input for each pad, in one message or in many', () => {
    expect(said(() => upTo(20))).toBe('fit');
    expect(said((ms) => [(ms / 10) % 20])).toBe('fit');
  });

  it('is said with the pads that stay without', () => {
    expect(said(() => upTo(16))).toMatchObject({
      what: expect.stringMatching(
        /^Its board sends 16 inputs \(0 to 15\), and .* has 20 pads: G2 pluck, D2 pluck, A1 pluck, E1 pluck are without an input$/,
      ) as string,
    });
  });

  it('is said with the inputs that are ignored', () => {
    expect(said(() => upTo(30))).toMatchObject({
      what: expect.stringMatching(
        /30 inputs .* the board's inputs 20 to 29 are ignored$/,
      ) as string,
    });
    expect(said(() => upTo(20, 36))).toMatchObject({
      what: expect.stringMatching(
        /all 20 are without an input, and the board's inputs 36 to 55 are ignored$/,
      ) as string,
    });
  });

  it('is not judged by pads that were not touched yet, on a wire that tells only changes', () => {
    expect(said(() => [3], false)).toBeNull();
    expect(said(() => [36], false)).toMatchObject({
      what: expect.stringContaining("the board's input 36 is ignored") as string,
    });
  });

  it('is held against the wiring where there is a build', () => {
    const one = { rest: 0, span: 1, noise: 0, coupling: [] };
    const build = { wiring: [...upTo(20).reverse(), null, null], pads: upTo(20).map(() => one) };
    expect(said(() => upTo(22), true, build)).toBe('fit');
    expect(said(() => upTo(19), true, build)).toMatchObject({
      what: expect.stringContaining('G2 fret 1 is without an input') as string,
    });
  });
});

describe('numbers in words', () => {
  it('are runs', () => {
    expect(ranges([3, 1, 2, 7, 9, 10])).toBe('1 to 3, 7, 9 to 10');
    expect(ranges(upTo(20).map((n) => 2 * n))).toBe('0, 2, 4, 6, 8, 10 and more');
  });
});
