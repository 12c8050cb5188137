import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pairNotes, type NotePair } from '../../src/compare/match.js';
import type { PlayedNote } from '../../src/compare/notes.js';
import { played } from './hands.js';

const WITHIN = 50_000;

/** A made-up note: onset in milliseconds, string, pitch. */
type Made = readonly [number, number, number];
const notesOf = (list: readonly Made[]): PlayedNote[] =>
  list.map(([on, string, pitch]) => played(on, on + 100, pitch, { string }));

/*
 * How many notes of the same string and pitch SciPy pairs off within 50 ms in made-up lists: python3,
 * numpy 2.4.6, scipy 1.17.1:
 *
 *   import numpy as np
 *   from scipy.sparse import csr_matrix
 *   from scipy.sparse.csgraph import maximum_bipartite_matching as matching
 *   def case(seed, most, span):
 *       s = seed
 *       def r(n):
 *           nonlocal s
 *           s = s * 48271 % 2147483647
 *           return s % n
 *       def notes():
 *           return [(r(span), r(2), 40 + r(3)) for _ in range(1 + r(most))]
 *       return notes(), notes()
 *   for args in ((1, 8, 200), ...):
 *       a, b = case(*args)
 *       g = [[abs(x[0] - y[0]) <= 50 and x[1:] == y[1:] for y in b] for x in a]
 *       pairs = (matching(csr_matrix(np.array(g, dtype=int)), perm_type='column') >= 0).sum()
 *       print(*args, len(a), len(b), pairs)
 */
const BY_SCIPY = [
  [1, 8, 200, 8, 5, 2],
  [2, 20, 300, 3, 3, 0],
  [3, 20, 300, 14, 18, 7],
  [4, 60, 900, 5, 36, 2],
  [5, 60, 900, 36, 32, 13],
  [6, 60, 500, 7, 26, 4],
  [7, 200, 3000, 98, 119, 37],
  [8, 200, 1500, 169, 96, 71],
  [9, 400, 9000, 40, 292, 13],
  [10, 1500, 20_000, 1211, 269, 163],
] as const;

function made(seed: number, most: number, span: number): [PlayedNote[], PlayedNote[]] {
  let s = seed;
  const random = (n: number): number => (s = (s * 48_271) % 2_147_483_647) % n;
  const notes = (): PlayedNote[] =>
    notesOf(
      Array.from({ length: 1 + random(most) }, () => {
        const on = random(span);
        const string = random(2);
        return [on, string, 40 + random(3)] as const;
      }),
    );
  return [notes(), notes()];
}

const near = (a: PlayedNote, b: PlayedNote): boolean =>
  a.string === b.string && Math.abs(a.onset - b.onset) <= WITHIN;

/** The most pairs there can be, one augmenting path at a time (Kuhn's method; the code uses another). */
function most(
  a: readonly PlayedNote[],
  b: readonly PlayedNote[],
  fits: (one: PlayedNote, other: PlayedNote) => boolean,
): number {
  const partner = new Map<PlayedNote, PlayedNote>();
  const find = (one: PlayedNote, seen: Set<PlayedNote>): boolean =>
    b.some((other) => {
      if (seen.has(other) || !near(one, other) || !fits(one, other)) return false;
      seen.add(other);
      const holder = partner.get(other);
      if (holder && !find(holder, seen)) return false;
      partner.set(other, one);
      return true;
    });
  return a.filter((one) => find(one, new Set())).length;
}

function check(a: readonly PlayedNote[], b: readonly PlayedNote[]): NotePair[] {
  const pairs = pairNotes(a, b, WITHIN);
  // Every note of both sides, once.
  const voices = (notes: readonly (PlayedNote | null)[]): number[] =>
    notes.flatMap((one) => one?.voice ?? []).sort((x, y) => x - y);
  expect(voices(pairs.map((pair) => pair.a))).toEqual(voices(a));
  expect(voices(pairs.map((pair) => pair.b))).toEqual(voices(b));
  const both = pairs.flatMap((pair) => (pair.a && pair.b ? [pair] : []));
  for (const pair of both) expect(near(pair.a, pair.b)).toBe(true);
  const same = both.filter((pair) => pair.a.note === pair.b.note);
  expect(same).toHaveLength(most(a, b, (one, other) => one.note === other.note));
  // Of what has no partner of its pitch, as many as possible have one of another pitch.
  const rest = pairs.filter((pair) => pair.a?.note !== pair.b?.note);
  const left = (side: 'a' | 'b'): PlayedNote[] => rest.flatMap((pair) => pair[side] ?? []);
  expect(both).toHaveLength(same.length + most(left('a'), left('b'), () => true));
  const times = pairs.map(({ a: one, b: other }) =>
    Math.min(...[one, other].flatMap((side) => side?.onset ?? [])),
  );
  expect(times).toEqual([...times].sort((x, y) => x - y));
  return pairs;
}

const onsets = (pairs: readonly NotePair[]): unknown =>
  pairs.map(({ a, b }) => [a && a.onset / 1000, b && b.onset / 1000]);

describe('which note of B is which of A', () => {
  it.each(BY_SCIPY)('as many as SciPy pairs: seed %i, %i within %i ms', (...row) => {
    const [seed, count, span, lefts, rights, pairs] = row;
    const [a, b] = made(seed, count, span);
    expect([a.length, b.length]).toEqual([lefts, rights]);
    const found = check(a, b).filter((pair) => pair.a && pair.a.note === pair.b?.note);
    expect(found).toHaveLength(pairs);
  });

  it('is a pairing that leaves out as few as can be, whatever is played', () => {
    const note = fc.tuple(fc.nat(200), fc.nat(1), fc.integer({ min: 40, max: 42 }));
    const list = fc.array(note, { maxLength: 12 });
    fc.assert(
      fc.property(list, list, (a, b) => {
        check(notesOf(a), notesOf(b));
      }),
      { numRuns: 400 },
    );
  });

  it('does not shift all notes after one that is missed, however fast they repeat', () => {
    const a = Array.from({ length: 12 }, (_, i) => played(45 * i, 45 * i + 40));
    const b = a.filter((_, i) => i !== 4);
    const pairs = check(a, b);
    expect(pairs.filter((pair) => pair.b === null).map(({ a: one }) => one)).toEqual([a[4]]);
    expect(pairs.filter((pair) => pair.a?.onset === pair.b?.onset)).toHaveLength(11);
  });

  it('takes the same pitch before a nearer note of another', () => {
    const [a, b] = [[played(100)], [played(100, 300, 34), played(140)]];
    expect(onsets(check(a, b))).toEqual([
      [100, 140],
      [null, 100],
    ]);
  });

  it('takes the nearest on the same string for one at another pitch', () => {
    const a = [played(100, 300, 33)];
    const b = [played(70, 95, 35), played(110, 300, 36), played(100, 300, 43, { string: 0 })];
    expect(check(a, b).map((pair) => [pair.a?.note ?? null, pair.b?.note ?? null])).toEqual([
      [null, 35],
      [null, 43],
      [33, 36],
    ]);
  });

  it('keeps unisons on two strings apart', () => {
    const a = [played(100, 300, 38, { string: 1 }), played(100, 300, 38, { string: 2 })];
    const [one, other] = check(a, [played(101, 300, 38, { string: 2 })]);
    expect([one!.a, one!.b]).toEqual([a[0], null]);
    expect(other!.a).toBe(a[1]);
    expect(other!.b).not.toBeNull();
  });

  it('counts the limit in, and nothing beyond it', () => {
    expect(onsets(pairNotes([played(0)], [played(50)], WITHIN))).toEqual([[0, 50]]);
    expect(onsets(pairNotes([played(0)], [played(50.001)], WITHIN))).toEqual([
      [0, null],
      [null, 50.001],
    ]);
  });

  it('of nothing is nothing', () => {
    expect(pairNotes([], [], WITHIN)).toEqual([]);
  });
});
