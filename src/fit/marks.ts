import { KNOWN_BY } from '../pads/span.js';
import { MILLISECOND, type Micros } from '../time/micros.js';
import type { ListedNote } from '../takes/read-notes.js';
import { ONSET_WITHIN, score, type Pair } from '../score/score.js';

/** How one rule set did on one block: a take, or a stretch of one between two silences. */
export interface Mark {
  readonly wanted: number;
  readonly played: number;
  /** Which wanted notes were missed, counted from 0 within the block. */
  readonly missed: readonly number[];
  readonly added: number;
  /** How late the right notes began, all together, in microseconds. */
  readonly late: Micros;
  /** Spearman's, of played velocities with the wanted strengths or velocities; null: undefined. */
  readonly rank: number | null;
  /** How far velocities are from the wanted ones, all together, and of how many notes. */
  readonly off: number;
  readonly told: number;
}

/** Notes from `from` up to, but not at, `to`. */
export interface Stretch {
  readonly from: Micros;
  readonly to: Micros;
}

export function within(notes: readonly ListedNote[], { from, to }: Stretch): ListedNote[] {
  return notes.filter(({ onset }) => onset >= from && onset < to);
}

/**
 * Marks what was played in one stretch, by the published definition (see score.ts).
 *
 * @param window how far onsets may be apart
 */
export function markOf(
  wanted: readonly ListedNote[],
  played: readonly ListedNote[],
  stretch: Stretch,
  window: Micros = ONSET_WITHIN,
): Mark {
  const [asked, sounded] = [within(wanted, stretch), within(played, stretch)];
  const { matched, missed, added, velocityRank } = score(asked, sounded, window);
  // What is missed comes in the order of time, as the sorted notes do.
  const lost: number[] = [];
  [...asked]
    .sort((a, b) => a.onset - b.onset)
    .forEach((one, i) => {
      const next = missed[lost.length];
      if (next?.onset === one.onset && next.note === one.note) lost.push(i);
    });
  const told = ({ wanted: one, played: own }: Pair): boolean =>
    one.velocity !== null && own.velocity !== null;
  const pairs = matched.filter(told);
  const apart = pairs.map((one) => Math.abs(one.wanted.velocity! - one.played.velocity!));
  return {
    wanted: asked.length,
    played: sounded.length,
    missed: lost,
    added: added.length,
    late: sum(matched.map((one) => one.played.onset - one.wanted.onset)),
    rank: velocityRank.correlation,
    off: sum(apart),
    told: apart.length,
  };
}

/**
 * The same notes without velocities that were not known yet: a unit without a build plays the first touches
 * of each pad near a middle strength, whatever the rules.
 */
export function withoutGuesses(played: readonly ListedNote[]): ListedNote[] {
  const heard = new Map<number | null, number>();
  return [...played]
    .sort((a, b) => a.onset - b.onset)
    .map((note) => {
      const before = heard.get(note.string) ?? 0;
      heard.set(note.string, before + 1);
      return before < KNOWN_BY ? { ...note, velocity: null } : note;
    });
}

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

/** Several blocks as one. */
export interface Total {
  readonly wanted: number;
  readonly right: number;
  readonly missed: number;
  readonly added: number;
  /** F as `score` counts it, of all notes together. */
  readonly f: number;
  /** How late right notes begin on average, in milliseconds; 0 where none is right. */
  readonly late: number;
  /** The mean of the blocks' own correlations; null where one of them has none. */
  readonly rank: number | null;
  /** The mean distance of velocities; 0 where none was wanted. */
  readonly off: number;
}

export function totalOf(marks: readonly Mark[]): Total {
  const wanted = sum(marks.map((one) => one.wanted));
  const missed = sum(marks.map((one) => one.missed.length));
  const added = sum(marks.map((one) => one.added));
  const right = wanted - missed;
  const told = sum(marks.map((one) => one.told));
  const ranks = marks.flatMap(({ rank }) => (rank === null ? [] : [rank]));
  return {
    wanted,
    right,
    missed,
    added,
    f: right === 0 ? 0 : (2 * right) / (2 * right + missed + added),
    late: right === 0 ? 0 : sum(marks.map((one) => one.late)) / right / MILLISECOND,
    rank: ranks.length === marks.length && marks.length > 0 ? sum(ranks) / ranks.length : null,
    off: told === 0 ? 0 : sum(marks.map((one) => one.off)) / told,
  };
}

/** What is better in `a` than in `b`, and what is worse, note by note. */
export interface Against {
  /** Errors that only `b` makes: notes that it misses, and how many more it adds. */
  readonly fixed: number;
  /** Errors that only `a` makes. */
  readonly broken: number;
  /** Of `fixed`, the notes that were missed. */
  readonly found: number;
  /** Of `broken`, the notes that are missed now. */
  readonly lost: number;
  /** How much is gained beside right notes, as a share of F: see WEIGHTS. */
  readonly beside: number;
}

/**
 * What comes after right notes, in F: right notes beginning sooner, by the millisecond; soft and hard
 * told apart, by the whole of a correlation; velocities nearer, by one. Chosen so small that all
 * of it together is worth a note or two of a hundred, and only counts where no right note is lost.
 */
const WEIGHTS = { late: 0.0002, rank: 0.02, off: 0.0001 };

export function against(a: readonly Mark[], b: readonly Mark[]): Against {
  let [fixed, broken, found, lost] = [0, 0, 0, 0];
  a.forEach((own, i) => {
    const other = b[i]!;
    const [mine, theirs] = [new Set(own.missed), new Set(other.missed)];
    const regained = other.missed.filter((note) => !mine.has(note)).length;
    found += regained;
    fixed += regained + Math.max(0, other.added - own.added);
    const gone = own.missed.filter((note) => !theirs.has(note)).length;
    lost += gone;
    broken += gone + Math.max(0, own.added - other.added);
  });
  return { fixed, broken, found, lost, beside: besideOf(totalOf(a)) - besideOf(totalOf(b)) };
}

const besideOf = ({ late, rank, off }: Total): number =>
  -WEIGHTS.late * late + WEIGHTS.rank * (rank ?? 0) - WEIGHTS.off * off;

/** One number to order rule sets by: F first, and of nearly the same F what is worth more beside. */
export function meritOf(marks: readonly Mark[]): number {
  const total = totalOf(marks);
  return total.f + besideOf(total);
}
