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

/**
 * What the service says beyond the big words, which say the same in the reader's language: why a touch did
 * not count, or what to do where a pad does not answer.
 *
 * @example moreWords('Touch: G2 fret 1 (1 of 20). Its wire is loose.', 'Touch: G2 fret 1') // 'Its wire is loose.'
 */
export function moreWords(said: string, step: string): string {
  const [before = '', after] = said.split(step, 2);
  if (after === undefined) return said;
  return `${before.trim()} ${after.replace(/^( \(\d+ of \d+\))?[.:]?/, '').trim()}`.trim();
}

/** Whether it still goes on, and the seat is silent. */
export function goesOn({ phase }: PageGuide): boolean {
  return phase !== 'done' && phase !== 'failed';
}
