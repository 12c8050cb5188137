/**
 * The value below which a share of a list lies, with straight lines between its values: of n sorted
 * values the one at share · (n − 1), counted from 0 (definition 7 of Hyndman & Fan, The American
 * Statistician 50(4), 1996; MEMORY. It is what numpy.quantile does).
 *
 * @param sorted at least one value, the smallest first
 * @param share 0 to 1; 0.5 is the median
 */
export function quantile(sorted: readonly number[], share: number): number {
  const at = share * (sorted.length - 1);
  const low = Math.floor(at);
  const below = sorted[low]!;
  const above = sorted[Math.min(low + 1, sorted.length - 1)]!;
  return below + (above - below) * (at - low);
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** The standard deviation of the values themselves (divided by n: they are all there are). */
export function standardDeviation(values: readonly number[]): number {
  const middle = mean(values);
  return Math.sqrt(mean(values.map((value) => (value - middle) ** 2)));
}

/** Each value's place in the order of size, from 1; equal values share the mean of their places. */
export function averageRanks(values: readonly number[]): number[] {
  const order = values.map((_, i) => i).sort((a, b) => values[a]! - values[b]!);
  const ranks = new Array<number>(values.length);
  for (let first = 0; first < order.length;) {
    let after = first + 1;
    while (after < order.length && values[order[after]!] === values[order[first]!]) after += 1;
    for (let i = first; i < after; i++) ranks[order[i]!] = (first + after + 1) / 2;
    first = after;
  }
  return ranks;
}

/**
 * Spearman's rank correlation: the correlation of the average ranks (Spearman, The American Journal
 * of Psychology 15(1), 1904; MEMORY. It is what scipy.stats.spearmanr does).
 *
 * @returns -1 to 1; null where it is not defined: fewer than two pairs, or all of one side equal
 */
export function rankCorrelation(a: readonly number[], b: readonly number[]): number | null {
  if (a.length < 2) return null;
  const centred = (values: readonly number[]): number[] => {
    const middle = (values.length + 1) / 2;
    return averageRanks(values).map((rank) => rank - middle);
  };
  const x = centred(a);
  const y = centred(b);
  const product = (p: readonly number[], q: readonly number[]): number =>
    p.reduce((sum, value, i) => sum + value * q[i]!, 0);
  const scale = Math.sqrt(product(x, x) * product(y, y));
  return scale === 0 ? null : Math.max(-1, Math.min(1, product(x, y) / scale));
}
