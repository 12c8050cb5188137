import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import {
  averageRanks,
  mean,
  quantile,
  rankCorrelation,
  standardDeviation,
} from '../../src/score/stats.js';

/*
 * What SciPy and NumPy say of made-up values: python3, numpy 2.4.6, scipy 1.17.1:
 *
 *   import numpy as np
 *   from scipy.stats import spearmanr
 *   def values(seed, n, of):
 *       s, out = seed, []
 *       for _ in range(n):
 *           s = s * 48271 % 2147483647
 *           out.append(s % of)
 *       return out
 *   for seed, n, of in ((1, 2, 100), (2, 7, 5), (3, 40, 10), (4, 200, 127), (5, 1000, 3)):
 *       a, b = values(seed, n, of), values(seed + 100, n, of)
 *       c = [2 * x + y for x, y in zip(a, b)]
 *       print(seed, n, of, spearmanr(a, b)[0], spearmanr(a, c)[0],
 *             np.quantile(c, .5), np.quantile(c, .99), np.mean(c), np.std(c))
 */
const BY_SCIPY = [
  [1, 2, 100, -0.9999999999999999, -0.9999999999999999, 209.5, 212.93, 209.5, 3.5],
  [2, 7, 5, 0.3525248694596015, 0.9346279536610843, 5, 8, 4.428571428571429, 2.969229955832361],
  [3, 40, 10, -0.039197371754364496, 0.9108334101665656, 12.5, 24, 12.85, 6.002291229189066],
  [4, 200, 127, 0.05535907917779619, 0.8956429718719853, 211.5, 343.04, 195.935, 82.3065050588348],
  [5, 1000, 3, 0.010561536625831982, 0.9060932432025227, 3, 6, 3.037, 1.8562410942547305],
] as const;

function values(seed: number, n: number, of: number): number[] {
  let s = seed;
  return Array.from({ length: n }, () => (s = (s * 48_271) % 2_147_483_647) % of);
}

describe('figures of a list', () => {
  it.each(BY_SCIPY)('are SciPy’s: seed %i, %i values below %i', (seed, n, of, ab, ac, ...rest) => {
    const a = values(seed, n, of);
    const b = values(seed + 100, n, of);
    const c = a.map((x, i) => 2 * x + b[i]!);
    const sorted = [...c].sort((x, y) => x - y);
    expect(rankCorrelation(a, b)).toBeCloseTo(ab, 12);
    expect(rankCorrelation(a, c)).toBeCloseTo(ac, 12);
    const [median, p99, middle, spread] = rest;
    expect(quantile(sorted, 0.5)).toBeCloseTo(median, 9);
    expect(quantile(sorted, 0.99)).toBeCloseTo(p99, 9);
    expect(mean(c)).toBeCloseTo(middle, 9);
    expect(standardDeviation(c)).toBeCloseTo(spread, 9);
  });

  it('ranks equal values alike (scipy.stats.rankdata of the same list)', () => {
    expect(averageRanks([3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5])).toEqual([
      4.5, 1.5, 6, 1.5, 8, 11, 3, 10, 8, 4.5, 8,
    ]);
  });

  it('correlates to exactly 1 and -1 where the orders are the same and opposite', () => {
    const list = fc.uniqueArray(fc.integer(), { minLength: 2 });
    fc.assert(
      fc.property(list, (a) => {
        expect(
          rankCorrelation(
            a,
            a.map((x) => 3 * x + 1),
          ),
        ).toBe(1);
        expect(
          rankCorrelation(
            a,
            a.map((x) => -x),
          ),
        ).toBe(-1);
      }),
    );
  });

  it('has no correlation where there is none to speak of', () => {
    expect(rankCorrelation([], [])).toBeNull();
    expect(rankCorrelation([1], [2])).toBeNull();
    expect(rankCorrelation([1, 2, 3], [5, 5, 5])).toBeNull();
  });

  it('has the one value of a list of one', () => {
    expect([quantile([7], 0.5), quantile([7], 0.99), standardDeviation([7])]).toEqual([7, 7, 0]);
  });
});
