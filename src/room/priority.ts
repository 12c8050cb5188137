import type { Rules } from '../instrument/types.js';

/** What decides whether a note keeps its place. */
export interface Contender {
  readonly note: number;
  readonly strength: number;
  /** Rises with every note: the later, the larger. */
  readonly order: number;
}

/**
 * Which of the notes yields when there is one too many: the index in `contenders`. Of notes that
 * are alike the older one yields.
 */
export function yields(contenders: readonly Contender[], keep: Rules['voices']['keep']): number {
  const worth = (one: Contender): number => {
    switch (keep) {
      case 'lowest':
        return -one.note;
      case 'highest':
        return one.note;
      case 'loudest':
        return one.strength;
      case 'latest':
        return one.order;
    }
  };
  let least = 0;
  for (let i = 1; i < contenders.length; i++) {
    const a = contenders[i]!;
    const b = contenders[least]!;
    if (worth(a) < worth(b) || (worth(a) === worth(b) && a.order < b.order)) least = i;
  }
  return least;
}
