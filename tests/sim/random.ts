/** Seeded random numbers: the same seed and label always give the same ones. */
export interface Random {
  /** From 0 up to, not including, 1. */
  next(): number;
  /** Normally distributed, mean 0, standard deviation 1. */
  gauss(): number;
  between(low: number, high: number): number;
  /** Normally distributed, drawn again until it lies within the limits. */
  normal(mean: number, sigma: number, low: number, high: number): number;
  chance(share: number): boolean;
  pick<T>(list: readonly T[]): T;
  shuffled<T>(list: readonly T[]): T[];
}

/** FNV-1a, 32 bits (offset 2166136261, prime 16777619). Memory. */
function hash(text: string): number {
  let value = 2_166_136_261;
  for (let i = 0; i < text.length; i++) {
    value = Math.imul(value ^ text.charCodeAt(i), 16_777_619);
  }
  return value >>> 0;
}

/**
 * A stream of numbers of its own for each label, so that an option that is turned on (a lost scan, a
 * brush) does not change what everything else draws. The generator is sfc32 (Doty-Humphrey's small
 * fast counter, memory); the tests look at its mean, spread and independence.
 */
export function randomOf(seed: number, label: string): Random {
  let [a, b, c] = ['a', 'b', 'c'].map((part) => hash(`${part}/${String(seed)}/${label}`)) as [
    number,
    number,
    number,
  ];
  let counter = 1;
  let spare = NaN;

  function next(): number {
    const sum = (a + b + counter++) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    return (sum >>> 0) / 2 ** 32;
  }

  /** Marsaglia's polar method: two independent values from each pair that falls into the circle. */
  function gauss(): number {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = NaN;
      return kept;
    }
    for (;;) {
      const x = 2 * next() - 1;
      const y = 2 * next() - 1;
      const square = x * x + y * y;
      if (square >= 1 || square === 0) continue;
      const scale = Math.sqrt((-2 * Math.log(square)) / square);
      spare = y * scale;
      return x * scale;
    }
  }

  for (let i = 0; i < 16; i++) next();

  return {
    next,
    gauss,
    between: (low, high) => low + (high - low) * next(),
    normal(mean, sigma, low, high) {
      for (let i = 0; i < 100; i++) {
        const value = mean + sigma * gauss();
        if (value >= low && value <= high) return value;
      }
      return Math.min(high, Math.max(low, mean));
    },
    chance: (share) => next() < share,
    pick: (list) => list[Math.floor(next() * list.length)]!,
    shuffled(list) {
      const out = [...list];
      for (let i = out.length - 1; i > 0; i--) {
        const j = Math.floor(next() * (i + 1));
        [out[i], out[j]] = [out[j]!, out[i]!];
      }
      return out;
    },
  };
}
