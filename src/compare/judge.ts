import type { Micros } from '../time/micros.js';
import type { ChangeKind, Compared } from './compare.js';
import type { PlayedNote } from './notes.js';
import type { ListedNote } from '../takes/read-notes.js';
import { score, type Pair, type Score } from '../score/score.js';

export type Side = 'A' | 'B';

/**
 * Which side is right about a note. A note that one side misses, and that was not wanted, makes that
 * side right. `nearer`: for each change of a note that both have right, the side that is nearer to
 * what was wanted; left out where the wanted notes do not say, or both are as near.
 */
export interface Verdict {
  readonly right: Side | 'both' | 'neither';
  readonly nearer: Partial<Readonly<Record<ChangeKind, Side>>>;
}

/** Both scores, and what they say of each compared note, in the same order. */
export interface Judged {
  readonly a: Score;
  readonly b: Score;
  readonly verdicts: readonly Verdict[];
}

/** A wanted note with its place in the list, which tells it from others like it. */
interface Counted extends ListedNote {
  readonly index: number;
}

/**
 * Scores both sides against the wanted notes and says of each compared note which side is right.
 *
 * @param within the farthest that a right onset may be from the wanted one
 */
export function judge(
  compared: readonly Compared[],
  wanted: readonly ListedNote[],
  within?: Micros,
): Judged {
  const counted = wanted.map((one, index): Counted => ({ ...one, index }));
  const a = score(counted, notesOf(compared, 'a'), within);
  const b = score(counted, notesOf(compared, 'b'), within);
  const [ofA, ofB] = [wantedBy(a.matched), wantedBy(b.matched)];
  return { a, b, verdicts: compared.map((one) => verdictOf(one, ofA, ofB)) };
}

function notesOf(compared: readonly Compared[], side: 'a' | 'b'): PlayedNote[] {
  return compared.flatMap((one) => one[side] ?? []);
}

/** The wanted note of each right one, by its voice. `score` copies notes with all that they carry. */
function wantedBy(matched: readonly Pair[]): Map<number, Counted> {
  return new Map(
    matched.map(({ wanted, played }) => [(played as PlayedNote).voice, wanted as Counted]),
  );
}

function verdictOf(
  { a, b, changes }: Compared,
  ofA: ReadonlyMap<number, Counted>,
  ofB: ReadonlyMap<number, Counted>,
): Verdict {
  const wantedA = a ? ofA.get(a.voice) : undefined;
  const wantedB = b ? ofB.get(b.voice) : undefined;
  if (b === null) return { right: wantedA ? 'A' : 'B', nearer: {} };
  if (a === null) return { right: wantedB ? 'B' : 'A', nearer: {} };
  if (wantedA && wantedB) {
    const nearer = wantedA.index === wantedB.index ? nearerOf(a, b, changes, wantedA) : {};
    return { right: 'both', nearer };
  }
  return { right: wantedA ? 'A' : wantedB ? 'B' : 'neither', nearer: {} };
}

function nearerOf(
  a: PlayedNote,
  b: PlayedNote,
  changes: Compared['changes'],
  wanted: ListedNote,
): Verdict['nearer'] {
  const nearer: Partial<Record<ChangeKind, Side>> = {};
  for (const { kind } of changes) {
    const key = ASKED[kind];
    const asked = key === undefined ? null : wanted[key];
    if (key === undefined || asked === null) continue;
    const apart = Math.abs(a[key] - asked) - Math.abs(b[key] - asked);
    if (apart !== 0) nearer[kind] = apart < 0 ? 'A' : 'B';
  }
  return nearer;
}

/** What of a wanted note a change is measured by. */
const ASKED: Partial<Record<ChangeKind, 'onset' | 'velocity' | 'offset'>> = {
  earlier: 'onset',
  later: 'onset',
  louder: 'velocity',
  softer: 'velocity',
  longer: 'offset',
  shorter: 'offset',
};
