import type { Rules } from '../instrument/types.js';
import type { Block } from './blocks.js';
import { heldOutOf, only, toDrop, worthOf, type Fold, type HeldOut, type Worth } from './folds.js';
import type { Judge } from './judge.js';
import { changedKeys, valueOf, withKeysOf, withValue, type FitKey, type Value } from './keys.js';
import { against, totalOf, type Against, type Mark } from './marks.js';
import { search } from './search.js';

/** What is to be fitted. */
export interface FitTask {
  readonly start: Rules;
  /** What is searched. */
  readonly keys: readonly FitKey[];
  /** What could be: a threshold that is moved may move the one under it. */
  readonly allKeys: readonly FitKey[];
  readonly blocks: readonly Block[];
  /** Whether there are beginnings of takes to look at first. */
  readonly brief: boolean;
  /** How much of the time is left, from 1 down to 0. */
  readonly left: () => number;
}

/** A key that was changed, and what that is worth. */
export interface Change {
  readonly key: string;
  readonly from: Value;
  readonly to: Value;
  /** What is lost when it is turned back, on all blocks; null where the other keys do not let it. */
  readonly worth: Worthwhile | null;
  /** F of the left-out blocks as they were scored, and with this key turned back. */
  readonly heldOut: { readonly f: number; readonly without: number | null };
}

export interface Worthwhile extends Against {
  /** How many fewer notes sound that nobody wanted. */
  readonly gone: number;
  /** By how many milliseconds right notes begin sooner, on average. */
  readonly sooner: number;
  /** By how much soft and hard are told apart better, as a correlation; null where it is not known. */
  readonly rank: number | null;
  /** By how much velocities are nearer to the wanted ones, on average. */
  readonly nearer: number;
  /** Wanted notes that are heard with it and missed without, by block. */
  readonly foundNotes: readonly (readonly number[])[];
}

export interface Fitted {
  readonly rules: Rules;
  readonly changes: readonly Change[];
  readonly heldOut: readonly HeldOut[];
  /** Marks of the start and of the result on all blocks, which the result has seen. */
  readonly seen: { readonly start: readonly Mark[]; readonly fitted: readonly Mark[] };
  /** Keys that the search changed as well, and that the left-out blocks did not confirm. */
  readonly refused: readonly string[];
  /** False where the time was over before the search was. */
  readonly finished: boolean;
}

/** What of the time the search on all blocks may take; the rest is for those that leave one out. */
const FOR_ALL = 0.55;

/**
 * Finds rules, and judges every change on blocks that were not looked at to find it: for each block
 * the search is made again without it. A changed key stays where it helps on the left-out blocks on
 * average, and all that stay make none of these blocks worse than the start. Else the start is the
 * result.
 */
export async function fit(judge: Judge, task: FitTask): Promise<Fitted> {
  const { start, keys, blocks, brief, left } = task;
  const until = (share: number) => ({ start, keys, brief, timeLeft: () => left() > share });
  let rules = await search(judge, { ...until(1 - FOR_ALL), blocks });
  let finished = left() > 1 - FOR_ALL;
  const folds: Fold[] = [];
  for (const [i, block] of blocks.entries()) {
    const others = blocks.filter((one) => one !== block);
    const share = (1 - FOR_ALL) * (1 - (i + 1) / blocks.length);
    folds.push({ block, rules: await search(judge, { ...until(share), blocks: others }) });
    finished &&= left() > share;
  }

  const refused: FitKey[] = [];
  for (;;) {
    const changed = changedKeys(start, rules, task.allKeys);
    const kept = folds.map((fold) => ({ ...fold, rules: only(changed, fold.rules, start) }));
    const [ofStart, fitted] = await judge.mark([start, rules], blocks);
    const seen = { start: ofStart!, fitted: fitted! };
    const heldOut = await heldOutOf(judge, kept, start);
    const worths = await Promise.all(changed.map((key) => worthOf(judge, key, kept, start)));
    const drop = toDrop(worths, heldOut, seen, refused);
    if (drop.length === 0) {
      const { f } = totalOf(heldOut.map((one) => one.fitted));
      const changes = await Promise.all(
        worths.map((worth) => changeOf(judge, rules, { worth, f, marks: seen.fitted, ...task })),
      );
      return { rules, changes, heldOut, seen, refused: refused.map(({ key }) => key), finished };
    }
    refused.push(...drop);
    rules = withKeysOf(rules, start, refused);
  }
}

/** What a key that stays is worth, by turning it back. */
async function changeOf(
  judge: Judge,
  rules: Rules,
  about: Pick<FitTask, 'start' | 'blocks'> & { worth: Worth; f: number; marks: readonly Mark[] },
): Promise<Change> {
  const { start, blocks, worth, f, marks } = about;
  const { key } = worth.key;
  const from = valueOf(start, key);
  const back = withValue(rules, key, from);
  const turned = back && (await judge.mark([back], blocks))[0]!;
  return {
    key,
    from,
    to: valueOf(rules, key),
    worth: turned && worthwhile(marks, turned),
    heldOut: { f, without: worth.without },
  };
}

function worthwhile(own: readonly Mark[], turned: readonly Mark[]): Worthwhile {
  const [a, b] = [totalOf(own), totalOf(turned)];
  return {
    ...against(own, turned),
    gone: b.added - a.added,
    sooner: b.late - a.late,
    rank: a.rank === null || b.rank === null ? null : a.rank - b.rank,
    nearer: b.off - a.off,
    foundNotes: own.map((mark, i) => {
      const missed = new Set(mark.missed);
      return turned[i]!.missed.filter((note) => !missed.has(note));
    }),
  };
}
