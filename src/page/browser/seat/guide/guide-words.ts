import type { PageGuide } from '../../../link/state.js';
import type { Texts } from '../../texts/en.js';

/** What a person is to do now, in big words. */
export function stepWords(
  { phase, asked, guide }: PageGuide,
  names: readonly string[],
  words: Texts['seat']['guide'],
): string {
  switch (phase) {
    case 'letting-go':
      return words.letGo;
    case 'touching':
      if (asked !== null) return words.touch(names[asked] ?? String(asked));
      return guide === 'calibrate' ? words.touchAny : words.allAsked;
    case 'saving':
      return words.saving;
    case 'done':
      return words.done;
    case 'failed':
      return words.failed;
  }
}

/** Whether it still goes on, and the seat is silent. */
export function goesOn({ phase }: PageGuide): boolean {
  return phase !== 'done' && phase !== 'failed';
}
