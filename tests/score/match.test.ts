import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { maximumMatching, type Edge } from '../../src/score/match.js';

/** How many pairs a matching has, after checking that it is one: its edges exist, nothing is used twice. */
function pairs(edges: readonly Edge[], lefts: number, rights: number): number {
  const partners = maximumMatching(edges, lefts, rights);
  expect(partners.length).toBe(lefts);
  const found = [...partners].flatMap((right, left) => (right < 0 ? [] : [[left, right] as const]));
  const known = new Set(edges.map(([left, right]) => `${String(left)} ${String(right)}`));
  for (const [left, right] of found) expect(known).toContain(`${String(left)} ${String(right)}`);
  expect(new Set(found.map(([, right]) => right)).size).toBe(found.length);
  return found.length;
}

/** The best of all ways to pair, by trying every one. */
function best(edges: readonly Edge[], left: number, lefts: number, used: number): number {
  if (left === lefts) return 0;
  let most = best(edges, left + 1, lefts, used);
  for (const [from, to] of edges) {
    if (from !== left || (used >> to) & 1) continue;
    most = Math.max(most, 1 + best(edges, left + 1, lefts, used | (1 << to)));
  }
  return most;
}

/** Edges in order, each taken where both its ends are free. */
function greedy(edges: readonly Edge[]): number {
  const left = new Set<number>();
  const right = new Set<number>();
  for (const [a, b] of edges) {
    if (left.has(a) || right.has(b)) continue;
    left.add(a);
    right.add(b);
  }
  return left.size;
}

/*
 * The pairs that SciPy finds in made-up graphs: python3, numpy 2.4.6, scipy 1.17.1:
 *
 *   import numpy as np
 *   from scipy.sparse import csr_matrix
 *   from scipy.sparse.csgraph import maximum_bipartite_matching as matching
 *   def graph(seed, lefts, rights, of):
 *       s, g = seed, np.zeros((lefts, rights), dtype=int)
 *       for i in range(lefts):
 *           for j in range(rights):
 *               s = s * 48271 % 2147483647
 *               g[i, j] = s % of == 0
 *       return csr_matrix(g)
 *   for seed in (1, 2, 3):
 *       for size in ((6, 6, 3), (30, 40, 20), (90, 70, 45), (300, 300, 200), (300, 300, 120)):
 *           print(seed, *size, (matching(graph(seed, *size), perm_type='column') >= 0).sum())
 */
const BY_SCIPY = [
  [1, 6, 6, 3, 5],
  [1, 30, 40, 20, 25],
  [1, 90, 70, 45, 57],
  [1, 300, 300, 200, 208],
  [1, 300, 300, 120, 262],
  [2, 6, 6, 3, 5],
  [2, 30, 40, 20, 25],
  [2, 90, 70, 45, 60],
  [2, 300, 300, 200, 187],
  [2, 300, 300, 120, 253],
  [3, 6, 6, 3, 4],
  [3, 30, 40, 20, 23],
  [3, 90, 70, 45, 55],
  [3, 300, 300, 200, 204],
  [3, 300, 300, 120, 263],
] as const;

function graph(seed: number, lefts: number, rights: number, of: number): Edge[] {
  let s = seed;
  const edges: Edge[] = [];
  for (let i = 0; i < lefts; i++) {
    for (let j = 0; j < rights; j++) {
      s = (s * 48_271) % 2_147_483_647;
      if (s % of === 0) edges.push([i, j]);
    }
  }
  return edges;
}

describe('the largest matching', () => {
  it.each(BY_SCIPY)('is SciPy’s: seed %i, %i by %i, one edge in %i', (seed, m, n, of, expected) => {
    expect(pairs(graph(seed, m, n, of), m, n)).toBe(expected);
  });

  it('needs more than taking edges as they come on those graphs', () => {
    const short = BY_SCIPY.filter(([seed, m, n, of, most]) => greedy(graph(seed, m, n, of)) < most);
    expect(short.length).toBeGreaterThan(10);
  });

  it('is the best of all ways to pair', () => {
    const edge = fc.tuple(fc.nat(6), fc.nat(6));
    fc.assert(
      fc.property(fc.array(edge, { maxLength: 20 }), (edges) => {
        expect(pairs(edges, 7, 7)).toBe(best(edges, 0, 7, 0));
      }),
      { numRuns: 300 },
    );
  });

  it('keeps the edges that come first where nothing is gained by another', () => {
    expect([
      ...maximumMatching(
        [
          [0, 1],
          [0, 0],
          [1, 1],
          [1, 0],
        ],
        2,
        2,
      ),
    ]).toEqual([1, 0]);
    expect([
      ...maximumMatching(
        [
          [1, 1],
          [0, 0],
        ],
        2,
        2,
      ),
    ]).toEqual([0, 1]);
  });

  it('re-pairs along a chain of 50,000, where the first edges leave one over', () => {
    const length = 50_000;
    const first: Edge[] = Array.from({ length }, (_, i) => [i + 1, i]);
    const second: Edge[] = Array.from({ length: length + 1 }, (_, i) => [i, i]);
    expect(greedy([...first, ...second])).toBe(length);
    const partners = maximumMatching([...first, ...second], length + 1, length + 1);
    expect(partners.every((right, left) => right === left)).toBe(true);
  });

  it('is empty where there is nothing to pair', () => {
    expect([...maximumMatching([], 0, 0)]).toEqual([]);
    expect([...maximumMatching([], 2, 3)]).toEqual([-1, -1]);
  });
});
