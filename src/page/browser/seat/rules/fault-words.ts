import type { Texts } from '../../texts/en.js';
import type { DraftFault } from './drafts.js';

/** What is wrong with a value, in words. */
export function faultWords(fault: DraftFault, words: Texts['seat']['rules']['faults']): string {
  switch (fault.fault) {
    case 'least':
      return words.least(fault.least);
    case 'range':
      return words.range(fault.least, fault.most);
    default:
      return words[fault.fault];
  }
}
