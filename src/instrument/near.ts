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
  let least = Math.max(1, Math.floor(plain.length / 3)) + 1;
  for (const word of words) {
    const slips = distance(plain, joined(word));
    if (slips < least) {
      best = word;
      least = slips;
    }
  }
  return best;
}

function joined(word: string): string {
  return word
    .slice(0, 80)
    .replace(/([a-z])([A-Z])/g, '$1-$2')
    .replace(/[\s_]+/g, '-')
    .toLowerCase();
}
