import type { Rules } from '../instrument/types.js';
import type { Micros } from '../time/micros.js';
import { compareNotes, type ChangeKind } from '../compare/compare.js';
import type { PlayedNote } from '../compare/notes.js';
import { sameWithin } from '../compare/within.js';
import { again } from './again.js';
import type { Other } from './others.js';
import type { WatchedRun } from './run.js';

/** What becomes of one note by another value of one rule; `note` is as it is, `other` as it would be. */
export interface Flip {
  readonly key: string;
  readonly value: string;
  readonly to: string;
  /** null where there is none of the two. */
  readonly note: PlayedNote | null;
  readonly other: PlayedNote | null;
  readonly changes: readonly { readonly kind: ChangeKind; readonly by: number | null }[];
  /** The other note was still on where the run stopped: how much longer it is, is not known. */
  readonly goesOn: boolean;
}

/** When a note of either side begins. */
export const flipAt = ({ note, other }: Flip): Micros => (note ?? other)?.onset ?? 0;

/** What each of the other rules would change of what sounds in the window. */
export function flipsOf(run: WatchedRun, others: readonly Other[], rules: Rules): Flip[] {
  const { from, to } = run.asked;
  const heard = ({ onset, offset }: PlayedNote): boolean => onset <= to && offset >= from;
  return others.flatMap((one) => {
    const { key, value, other: written } = one;
    const notes = again(run, one);
    const within = sameWithin(rules, one.rules(rules));
    return compareNotes(run.notes, notes, within).flatMap(({ a, b, changes }) => {
      if (changes.length === 0 || ![a, b].some((note) => note && heard(note))) return [];
      const goesOn = b !== null && !run.whole && b.offset >= run.end;
      return [{ key, value, to: written, note: a, other: b, changes, goesOn }];
    });
  });
}
