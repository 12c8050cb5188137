import { describe, expect, it } from 'vitest';
import { score } from '../../src/score/score.js';
import { note, shifted } from './notes.js';
import type { ListedNote } from '../../src/takes/read-notes.js';

/*
 * What the published definition's own program says of made-up notes: python3, mir_eval 0.8.2:
 *
 *   import numpy as np
 *   from mir_eval.transcription import precision_recall_f1_overlap as rate
 *   def case(seed, most, span):
 *       s = seed
 *       def r(n):
 *           nonlocal s
 *           s = s * 48271 % 2147483647
 *           return s % n
 *       def notes(shift):
 *           out = []
 *           for _ in range(1 + r(most)):
 *               on = r(span)
 *               out.append((on, on + 5 * (1 + r(120)) + shift, 40 + r(2)))
 *           return out
 *       return notes(0), notes(0.5)
 *   def arrays(notes):
 *       return (np.array([[a / 1e3, b / 1e3] for a, b, _ in notes]),
 *               np.array([440 * 2 ** ((n - 69) / 12) for *_, n in notes]))
 *   for args in ((1, 8, 300), ...):
 *       both = [x for notes in case(*args) for x in arrays(notes)]
 *       print(*args, *rate(*both, offset_ratio=None)[:3], *rate(*both)[:3])
 *
 * Seed, most notes, milliseconds; precision, recall and F by onsets, then with offsets. Ends lie half
 * a millisecond beside every limit, since 20 % of a duration is not exact in seconds.
 */
const BY_MIR_EVAL = [
  [1, 8, 300, 0.4, 0.25, 0.307692, 0.4, 0.25, 0.307692],
  [2, 8, 300, 0.5, 0.142857, 0.222222, 0, 0, 0],
  [3, 8, 300, 0.375, 0.5, 0.428571, 0, 0, 0],
  [4, 20, 500, 0.125, 0.4, 0.190476, 0.0625, 0.2, 0.095238],
  [5, 20, 500, 0.6, 0.75, 0.666667, 0.2, 0.25, 0.222222],
  [6, 20, 500, 0.333333, 0.285714, 0.307692, 0.166667, 0.142857, 0.153846],
  [7, 20, 500, 0.75, 0.5, 0.6, 0.25, 0.166667, 0.2],
  [8, 60, 2000, 0, 0, 0, 0, 0, 0],
  [9, 60, 2000, 0.583333, 0.175, 0.269231, 0.333333, 0.1, 0.153846],
  [10, 60, 2000, 0.25, 0.454545, 0.322581, 0, 0, 0],
  [11, 60, 900, 0.692308, 0.214286, 0.327273, 0.230769, 0.071429, 0.109091],
  [12, 60, 900, 0.277778, 0.769231, 0.408163, 0.138889, 0.384615, 0.204082],
  [13, 400, 9000, 0.827957, 0.237654, 0.369305, 0.311828, 0.089506, 0.139089],
  [14, 400, 9000, 0.478088, 0.615385, 0.538117, 0.199203, 0.25641, 0.224215],
  [15, 400, 5000, 0.232283, 0.893939, 0.36875, 0.07874, 0.30303, 0.125],
  [16, 1500, 40_000, 0.626147, 0.612565, 0.619282, 0.279052, 0.272999, 0.275992],
] as const;

function made(seed: number, most: number, span: number): [ListedNote[], ListedNote[]] {
  let s = seed;
  const random = (n: number): number => (s = (s * 48_271) % 2_147_483_647) % n;
  const notes = (shift: number): ListedNote[] =>
    Array.from({ length: 1 + random(most) }, () => {
      const on = random(span);
      const off = on + 5 * (1 + random(120)) + shift;
      return note(on, off, 40 + random(2));
    });
  return [notes(0), notes(0.5)];
}

describe('precision, recall and F', () => {
  it.each(BY_MIR_EVAL)(
    'are mir_eval’s: seed %i, up to %i notes in %i ms',
    (seed, most, span, ...rates) => {
      const { precision, recall, f, withOffsets } = score(...made(seed, most, span));
      const { precision: p, recall: r, f: g } = withOffsets!;
      [precision, recall, f, p, r, g].forEach((rate, i) => {
        expect(rate).toBeCloseTo(rates[i]!, 6);
      });
    },
  );

  /* The limits below, and the empty lists, are as mir_eval 0.8.2 has them but for its rounding to 0.1 ms. */
  it.each([
    [49, 1],
    [50, 1],
    [50.001, 0],
    [51, 0],
    [-49, 1],
    [-50, 1],
    [-51, 0],
  ])('an onset %f ms late gives %f', (late, f) => {
    expect(score([note(1000)], [note(1000 + late)]).f).toBe(f);
  });

  it.each([
    [0.49, 1],
    [0.5, 1],
    [0.51, 0],
    [1, 0],
    [-0.5, 1],
    [-1, 0],
    [12, 0],
  ])('a pitch %f semitones off gives %f', (off, f) => {
    expect(score([note(0, null, 33)], [note(0, null, 33 + off)]).f).toBe(f);
  });

  it.each([
    [1000, 199, 1],
    [1000, 200, 1],
    [1000, 200.5, 0],
    [1000, -200, 1],
    [1000, -201, 0],
    [100, 49, 1],
    [100, 50, 1],
    [100, 51, 0],
    [100, -51, 0],
  ])('of a note of %i ms an end %f ms late gives %f with offsets', (lasts, late, f) => {
    const { f: byOnset, withOffsets } = score([note(0, lasts)], [note(0, lasts + late)]);
    expect(byOnset).toBe(1);
    expect(withOffsets!.f).toBe(f);
  });

  it('is 0 where nothing was wanted, played, or both', () => {
    const zero = { precision: 0, recall: 0, f: 0 };
    const one = note(0, 100);
    expect(score([], [one])).toMatchObject({
      ...zero,
      withOffsets: zero,
      added: [one],
      missed: [],
    });
    expect(score([one], [])).toMatchObject({
      ...zero,
      withOffsets: zero,
      added: [],
      missed: [one],
    });
    expect(score([], [])).toMatchObject({ ...zero, withOffsets: zero, onsetDelay: null });
  });

  it('pairs as many as can be, where the nearest first would leave one over', () => {
    // 45 is nearest to 60, but only it can serve 0 (mir_eval: 1, 1, 1).
    const { f, matched } = score([note(0), note(60)], [note(45), note(90)]);
    expect(f).toBe(1);
    expect(matched.map(({ played }) => played.onset)).toEqual([45_000, 90_000]);
  });

  it('pairs as many as can be, where the first come would leave one over', () => {
    // The longer wanted note can only have the first played one (mir_eval: 1, 1, 1).
    const wanted = [note(0, 100), note(0, 180)];
    expect(score(wanted, [note(0, 140), note(0, 60)]).withOffsets!.f).toBe(1);
  });

  it('counts a note played twice once, and the farther one as added', () => {
    const { precision, recall, added, onsetDelay } = score([note(0)], [note(40), note(8)]);
    expect([precision, recall]).toEqual([0.5, 1]);
    expect(added).toEqual([note(40)]);
    expect(onsetDelay!.median).toBe(8_000);
    expect(score([note(40)], [note(0), note(44)]).added).toEqual([note(0)]);
  });

  it('takes a note that is listed twice for two notes', () => {
    const one = note(0);
    expect(score([one], [one, one])).toMatchObject({ precision: 0.5, recall: 1, added: [one] });
    expect(score([one, one], [one])).toMatchObject({ precision: 1, recall: 0.5, missed: [one] });
  });

  it('has no figure with offsets where a wanted note has no end; a played one without never fits', () => {
    expect(score([note(0, 100), note(500)], [note(0, 100)]).withOffsets).toBeNull();
    expect(score([note(0, 100)], [note(0)]).withOffsets).toEqual({ precision: 0, recall: 0, f: 0 });
  });

  it('keeps to a window of one’s own', () => {
    expect(score([note(0)], [note(20)], 20_000).f).toBe(1);
    expect(score([note(0)], [note(20)], 19_999).f).toBe(0);
  });

  it('copes with 20,000 notes of one pitch in one chain', () => {
    // Each is 39 ms from the one wanted after it and 41 ms from its own, which must all be found.
    const wanted = Array.from({ length: 20_000 }, (_, i) => note(80 * i));
    expect(score(wanted, shifted(wanted, 41))).toMatchObject({ f: 1, missed: [], added: [] });
  });
});
