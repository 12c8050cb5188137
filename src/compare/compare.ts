import { MILLISECOND, type Micros } from '../time/micros.js';
import { pairNotes, type NotePair } from './match.js';
import type { PlayedNote } from './notes.js';
import { ONSET_WITHIN } from '../score/score.js';

/** What may differ, seen from A: what B misses, adds, and does otherwise. In the order of weight. */
export const CHANGE_KINDS = [
  'missed',
  'added',
  'pitch',
  'earlier',
  'later',
  'louder',
  'softer',
  'longer',
  'shorter',
] as const;
export type ChangeKind = (typeof CHANGE_KINDS)[number];

/**
 * One thing that differs. `by` is above 0: semitones of another pitch (below 0 where B is lower),
 * microseconds earlier, later, longer or shorter, velocities louder or softer; null for missed and
 * added.
 */
export interface Change {
  readonly kind: ChangeKind;
  readonly by: number | null;
}

/** A note of A, of B, or of both, and what differs; no changes where both are alike. */
export type Compared = NotePair & { readonly changes: readonly Change[] };

/** Onsets and ends at most this far apart are the same: nobody hears it, and scans are farther apart. */
export const SAME_TIME: Micros = MILLISECOND;

/**
 * Compares the notes that two rule sets make of one take, note by note.
 *
 * @param within how far onsets of one and the same note may be apart; `sameWithin` says it of rules
 * @returns every note of both sides exactly once, in the order of time
 */
export function compareNotes(
  a: readonly PlayedNote[],
  b: readonly PlayedNote[],
  within: Micros = ONSET_WITHIN,
): Compared[] {
  return pairNotes(a, b, within).map((pair) => ({ ...pair, changes: changesOf(pair) }));
}

function changesOf({ a, b }: NotePair): Change[] {
  if (b === null) return [{ kind: 'missed', by: null }];
  if (a === null) return [{ kind: 'added', by: null }];
  const changes: Change[] = [];
  const tell = (by: number, less: ChangeKind, more: ChangeKind): void => {
    if (by !== 0) changes.push({ kind: by < 0 ? less : more, by: Math.abs(by) });
  };
  if (a.note !== b.note) changes.push({ kind: 'pitch', by: b.note - a.note });
  tell(unlessSame(b.onset - a.onset), 'earlier', 'later');
  tell(b.velocity - a.velocity, 'softer', 'louder');
  tell(lengthened(a, b), 'shorter', 'longer');
  return changes;
}

const unlessSame = (apart: Micros): Micros => (Math.abs(apart) <= SAME_TIME ? 0 : apart);

/** A note that only begins at another time, or that is moved as a whole, is neither longer nor shorter. */
function lengthened(a: PlayedNote, b: PlayedNote): Micros {
  if (unlessSame(b.offset - a.offset) === 0) return 0;
  return unlessSame(b.offset - b.onset - (a.offset - a.onset));
}

/** Whether a note is there on one side only, or at another pitch: what everybody hears. */
export function isAnotherNote({ changes }: Pick<Compared, 'changes'>): boolean {
  return changes.some(({ kind }) => kind === 'missed' || kind === 'added' || kind === 'pitch');
}
