/**
 * A small scorer of our own for the simulator's checks, apart from the one in src: wanted notes in
 * the order of time, each takes the nearest unused note of its pitch within 50 ms.
 */
export interface Heard {
  readonly t: number;
  readonly note: number;
}

export interface CheckScore {
  readonly pairs: readonly (readonly [wanted: number, heard: number])[];
  readonly missed: number;
  readonly added: number;
  readonly f: number;
}

/** F = 2PR/(P+R) (mir_eval `transcription.py`, READ), the onset window is its 50 ms. */
export function checkScore(
  wanted: readonly Heard[],
  heard: readonly Heard[],
  window = 50_000,
): CheckScore {
  const used = new Set<number>();
  const pairs: (readonly [number, number])[] = [];
  wanted.forEach(({ t, note }, i) => {
    let best = -1;
    heard.forEach((one, j) => {
      if (used.has(j) || one.note !== note || Math.abs(one.t - t) > window) return;
      if (best < 0 || Math.abs(one.t - t) < Math.abs(heard[best]!.t - t)) best = j;
    });
    if (best < 0) return;
    used.add(best);
    pairs.push([i, best]);
  });
  const missed = wanted.length - pairs.length;
  const added = heard.length - pairs.length;
  const all = wanted.length + heard.length;
  return { pairs, missed, added, f: all === 0 ? 1 : (2 * pairs.length) / all };
}

/** Ranks counted from 1; equal values share the mean of their ranks. */
function ranks(values: readonly number[]): number[] {
  const order = values.map((_, i) => i).sort((a, b) => values[a]! - values[b]!);
  const out = new Array<number>(values.length);
  for (let i = 0; i < order.length;) {
    let j = i;
    while (j < order.length && values[order[j]!] === values[order[i]!]) j++;
    for (let k = i; k < j; k++) out[order[k]!] = (i + j + 1) / 2;
    i = j;
  }
  return out;
}

/** Spearman's rank correlation: Pearson's of the ranks; NaN where one side never varies. */
export function spearman(a: readonly number[], b: readonly number[]): number {
  const [x, y] = [ranks(a), ranks(b)];
  const mean = (a.length + 1) / 2;
  let [xy, xx, yy] = [0, 0, 0];
  x.forEach((value, i) => {
    xy += (value - mean) * (y[i]! - mean);
    xx += (value - mean) ** 2;
    yy += (y[i]! - mean) ** 2;
  });
  return xy / Math.sqrt(xx * yy);
}
