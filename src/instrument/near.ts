import { distance } from 'fastest-levenshtein';

/**
 * The word that was most likely meant, or undefined where none is near.
 *
 * Ways of joining words do not count: `hammerOn`, `hammer_on` and `Hammer on` are all `hammer-on`.
 *
 * @example nearest('latset', ['highest', 'lowest', 'latest']) // 'latest'
 */
export function nearest(written: string, words: readonly string[]): string | undefined {
  const plain = joined(written);
  let best: string | undefined;
  // Two slips in a short word make it another word, so the allowance grows with the length.
  let least = Math.max(1, Math.floor(plain.length / 4)) + 1;
  for (const word of words) {
    const slips = slipsBetween(plain, joined(word));
    if (slips < least) {
      best = word;
      least = slips;
    }
  }
  return best;
}

/** Letters in another order are one slip, however many places they moved. */
function slipsBetween(a: string, b: string): number {
  const sorted = (word: string): string => [...word].sort().join('');
  const slips = distance(a, b);
  return slips > 1 && sorted(a) === sorted(b) ? 1 : slips;
}

function joined(word: string): string {
  return word
    .slice(0, 80)
    .replace(/([a-z])([A-Z])/g, '$1-$2')
    .replace(/[\s_]+/g, '-')
    .toLowerCase();
}
