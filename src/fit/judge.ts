import type { Rules } from '../instrument/types.js';
import type { Block } from './blocks.js';
import type { Mark } from './marks.js';

/**
 * Runs one take by several rule sets.
 *
 * @param brief only its beginning
 * @returns by rule set, the marks of the take's blocks
 */
export type RunTake = (
  take: number,
  sets: readonly Rules[],
  brief: boolean,
) => Promise<readonly (readonly Mark[])[]>;

/** Tells how rule sets do, and whether there is time to ask for more. */
export interface Judge {
  /** By rule set, the marks on each of the blocks. */
  mark(
    sets: readonly Rules[],
    blocks: readonly Block[],
    brief?: boolean,
  ): Promise<readonly (readonly Mark[])[]>;
  timeLeft(): boolean;
  /** How many times a take was run. */
  readonly runs: number;
}

/** A judge that never runs a take by the same rules twice. */
export function judge(run: RunTake, timeLeft: () => boolean): Judge {
  const known = new Map<string, Promise<readonly Mark[]>>();
  let runs = 0;

  function ask(take: number, sets: readonly Rules[], brief: boolean): Promise<readonly Mark[]>[] {
    const keys = sets.map((rules) => `${String(take)} ${String(brief)} ${contentOf(rules)}`);
    const fresh = new Map<string, Rules>();
    keys.forEach((key, i) => {
      if (!known.has(key)) fresh.set(key, sets[i]!);
    });
    if (fresh.size > 0) {
      runs += fresh.size;
      const answer = run(take, [...fresh.values()], brief);
      [...fresh.keys()].forEach((key, i) => {
        known.set(
          key,
          answer.then((marks) => marks[i]!),
        );
      });
    }
    return keys.map((key) => known.get(key)!);
  }

  return {
    async mark(sets, blocks, brief = false) {
      const takes = [...new Set(blocks.map(({ take }) => take))];
      const asked = new Map(takes.map((take) => [take, ask(take, sets, brief)]));
      return Promise.all(
        sets.map((_, i) =>
          Promise.all(blocks.map(async ({ take, part }) => (await asked.get(take)![i]!)[part]!)),
        ),
      );
    },
    timeLeft,
    get runs() {
      return runs;
    },
  };
}

/** A rule set without its name. */
function contentOf(rules: Rules): string {
  return JSON.stringify({ ...rules, name: '' });
}
