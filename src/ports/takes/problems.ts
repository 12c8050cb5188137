import type { Report } from '../../takes/read.js';
import type { Tell } from '../contracts.js';

/** More lines of one file that cannot be read are counted, not told one by one. */
const MOST_TOLD = 10;

/** Tells of lines of a file that cannot be read. */
export interface TakeProblems {
  readonly report: Report;
  /** How many there were. */
  readonly count: number;
  /** Told at the end of the file: says how many more there were. */
  done(): void;
}

/**
 * @param where a line of the file is, in words
 * @param whole what the file itself is called
 */
export function takeProblems(
  where: (line: number) => string,
  whole: string,
  tell: Tell,
): TakeProblems {
  let count = 0;
  return {
    get count() {
      return count;
    },
    report: ({ line, what }) => {
      count += 1;
      if (count <= MOST_TOLD) tell({ level: 'warn', what, where: where(line) });
    },
    done: () => {
      const more = count - MOST_TOLD;
      if (more <= 0) return;
      const what =
        more === 1 ? 'One more line was left out' : `${String(more)} more lines were left out`;
      tell({ level: 'warn', what, where: whole });
    },
  };
}

/** The same for a file by its path. */
export function fileProblems(path: string, tell: Tell): TakeProblems {
  return takeProblems((line) => `${path}:${String(line)}`, path, tell);
}
