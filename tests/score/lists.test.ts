import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import type { ListedNote } from '../../src/takes/read-notes.js';
import { score } from '../../src/score/score.js';
import { note, shifted } from './notes.js';

const anyNote: fc.Arbitrary<ListedNote> = fc
  .tuple(fc.nat(400), fc.integer({ min: 5, max: 600 }), fc.integer({ min: 40, max: 42 }))
  .map(([on, lasts, pitch]) => note(on, on + lasts, pitch));
const anyNotes = fc.array(anyNote, { maxLength: 12 });

describe('a score', () => {
  it('of a perfect copy is 1 in everything, in any order', () => {
    fc.assert(
      fc.property(anyNotes, fc.infiniteStream(fc.nat(99)), (notes, dice) => {
        fc.pre(notes.length > 0);
        const mixed = notes
          .map((one) => [dice.next().value, one] as const)
          .sort(([a], [b]) => a - b)
          .map(([, one]) => one);
        const all = { precision: 1, recall: 1, f: 1 };
        expect(score(notes, mixed)).toMatchObject({
          ...all,
          withOffsets: all,
          missed: [],
          added: [],
        });
        const far = notes.map((one, i) => ({ ...one, onset: 1_000_000 * i, offset: null }));
        expect(score(far, shifted(far, 49)).f).toBe(1);
        expect(score(far, shifted(far, 51)).f).toBe(0);
      }),
    );
  });

  it('swaps precision and recall, and keeps F, when the sides are swapped', () => {
    fc.assert(
      fc.property(anyNotes, anyNotes, (a, b) => {
        const one = score(a, b);
        const other = score(b, a);
        expect([other.precision, other.recall, other.f]).toEqual([
          one.recall,
          one.precision,
          one.f,
        ]);
        expect(other.missed.length).toBe(one.added.length);
      }),
    );
  });

  it('never gains precision by a wrong note, nor loses recall by any', () => {
    fc.assert(
      fc.property(anyNotes, anyNotes, anyNote, (wanted, played, extra) => {
        const before = score(wanted, played);
        const wrong = score(wanted, [...played, { ...extra, note: 99 }]);
        expect(wrong.precision).toBeLessThanOrEqual(before.precision);
        expect(wrong.recall).toBe(before.recall);
        expect(wrong.f).toBeLessThanOrEqual(before.f);
        expect(score(wanted, [...played, extra]).recall).toBeGreaterThanOrEqual(before.recall);
      }),
    );
  });

  it('never gains by ends being counted, and puts each note in one list', () => {
    fc.assert(
      fc.property(anyNotes, anyNotes, (wanted, played) => {
        const { f, matched, missed, added, withOffsets } = score(wanted, played);
        expect(withOffsets!.f).toBeLessThanOrEqual(f);
        const byTime = (notes: readonly ListedNote[]): string[] =>
          notes.map((one) => JSON.stringify(one)).sort();
        expect(byTime([...missed, ...matched.map((pair) => pair.wanted)])).toEqual(byTime(wanted));
        expect(byTime([...added, ...matched.map((pair) => pair.played)])).toEqual(byTime(played));
        for (const pair of matched) {
          expect(Math.abs(pair.played.onset - pair.wanted.onset)).toBeLessThanOrEqual(50_000);
          expect(pair.played.note).toBe(pair.wanted.note);
        }
      }),
    );
  });
});

describe('the feel of right notes', () => {
  it('tells how late right notes began', () => {
    const wanted = [0, 1000, 2000, 3000].map((on) => note(on));
    const played = [4, 1008, 2000, 2996, 3500].map((on) => note(on));
    // numpy: median, quantile 0.99, mean and std of [4, 8, 0, -4] ms.
    const { median, p99, mean, spread } = score(wanted, played).onsetDelay!;
    expect(median).toBe(2_000);
    expect(p99).toBeCloseTo(7_880, 6);
    expect(mean).toBe(2_000);
    expect(spread).toBeCloseTo(4_472.135955, 6);
  });

  describe('of loudness', () => {
    const loud = (on: number, more: object): ListedNote => note(on, null, 33, more);

    it('ranks played velocities by wanted strengths, of right notes only', () => {
      const wanted = [0.2, 0.5, 0.9, 0.1].map((strength, i) => loud(1000 * i, { strength }));
      const played = [30, 20, 90, 127].map((velocity, i) =>
        loud(i === 3 ? 9000 : 1000 * i, { velocity }),
      );
      // scipy.stats.spearmanr([.2, .5, .9], [30, 20, 90]) is 0.5.
      const { velocityRank } = score(wanted, played);
      expect(velocityRank).toMatchObject({ pairs: 3, with: 'strength' });
      expect(velocityRank.correlation).toBeCloseTo(0.5, 12);
    });

    it('takes wanted velocities where there are no strengths, and never mixes the two', () => {
      const velocity = [20, 60, 120].map((one, i) => loud(1000 * i, { velocity: one }));
      expect(score(velocity, velocity).velocityRank).toEqual({
        correlation: 1,
        pairs: 3,
        with: 'velocity',
      });
      const both = [...velocity, loud(5000, { strength: 0.3 })];
      expect(score(both, both).velocityRank).toEqual({
        correlation: null,
        pairs: 0,
        with: 'strength',
      });
    });
  });
});
