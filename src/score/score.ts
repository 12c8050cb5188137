import { MILLISECOND, type Micros } from '../time/micros.js';
import type { ListedNote } from '../takes/read-notes.js';
import { maximumMatching, type Edge } from './match.js';
import { mean, quantile, rankCorrelation, standardDeviation } from './stats.js';

/*
 * Notes are scored by the published definition of note transcription, mir_eval `transcription.py`
 * (after MIREX note tracking): a played note is right when its onset is within 50 ms and its pitch
 * within 50 cents of a wanted one, limits included, each note used once, by maximum bipartite
 * matching. With offsets, its end must also be within the larger of 50 ms and 20 % of the wanted
 * duration. Times being whole microseconds, limits are exact here; mir_eval works in seconds and
 * rounds distances to 0.1 ms first, so that it lets pass up to 50.05 ms.
 */

/** The farthest that an onset may be from the wanted one. */
export const ONSET_WITHIN: Micros = 50 * MILLISECOND;
const CENTS_WITHIN = 50;
const OFFSET_WITHIN: Micros = 50 * MILLISECOND;
/** Which part of the wanted duration an end may be off: a fifth is 20 %, and exact in integers. */
const OFFSET_PART = 5;

export interface Pair {
  readonly wanted: ListedNote;
  readonly played: ListedNote;
}

/** Shares from 0 to 1. By the definition all are 0 where nothing was wanted, or nothing played. */
export interface Rates {
  /** Right notes / played notes. */
  readonly precision: number;
  /** Right notes / wanted notes. */
  readonly recall: number;
  /** 2 · precision · recall / (precision + recall); 0 where both are 0. */
  readonly f: number;
}

/** How much later than wanted the right notes began, in microseconds; below 0 is early. */
export interface OnsetDelay {
  readonly median: number;
  /** 99 % of them are not later than this. */
  readonly p99: number;
  readonly mean: number;
  /** Standard deviation. */
  readonly spread: number;
}

/** Whether harder touches sounded louder. */
export interface VelocityRank {
  /** Spearman's, -1 to 1; null where it is not defined (see rankCorrelation). */
  readonly correlation: number | null;
  /** How many of the right notes it was taken from. */
  readonly pairs: number;
  /** What of the wanted notes the played velocities were compared with. */
  readonly with: 'strength' | 'velocity';
}

export interface Score extends Rates {
  readonly matched: readonly Pair[];
  /** Wanted notes without a partner, in the order of time. */
  readonly missed: readonly ListedNote[];
  /** Played notes without a partner, in the order of time. */
  readonly added: readonly ListedNote[];
  /** null where no note was right. */
  readonly onsetDelay: OnsetDelay | null;
  readonly velocityRank: VelocityRank;
  /** The same with ends counted; null where some wanted note does not say when it ends. */
  readonly withOffsets: Rates | null;
}

/**
 * Compares what was played with what was wanted.
 *
 * Of the largest matchings one is taken that pairs near onsets first, so that of a note played twice
 * the nearer one counts as right and the other as added.
 *
 * @param within the farthest that onsets may be apart, in microseconds
 */
export function score(
  wanted: readonly ListedNote[],
  played: readonly ListedNote[],
  within: Micros = ONSET_WITHIN,
): Score {
  const ordered = { wanted: inTime(wanted), played: inTime(played) };
  const near = nearPairs(ordered.wanted, ordered.played, within);
  const matched = match(near, ordered.wanted, ordered.played);
  const right = new Set(matched.flatMap((pair) => [pair.wanted, pair.played]));
  const left = (notes: readonly ListedNote[]) => notes.filter((note) => !right.has(note));
  const known = wanted.every(({ offset }) => offset !== null);
  const ended = match(near.filter(endsWithin), ordered.wanted, ordered.played);
  return {
    ...ratesOf(matched.length, wanted.length, played.length),
    withOffsets: known ? ratesOf(ended.length, wanted.length, played.length) : null,
    onsetDelay: delayOf(matched),
    velocityRank: velocityRankOf(matched),
    matched,
    missed: left(ordered.wanted),
    added: left(ordered.played),
  };
}

/** Copies, so that a note listed twice, or on both sides, is still two notes. */
function inTime(notes: readonly ListedNote[]): ListedNote[] {
  return notes.map((note) => ({ ...note })).sort((a, b) => a.onset - b.onset);
}

interface NearPair extends Pair {
  readonly edge: Edge;
}

/** All pairs whose onset and pitch agree, the nearest first; both lists are in the order of time. */
function nearPairs(
  wanted: readonly ListedNote[],
  played: readonly ListedNote[],
  within: Micros,
): NearPair[] {
  const pairs: NearPair[] = [];
  let first = 0;
  wanted.forEach((one, i) => {
    while (first < played.length && played[first]!.onset < one.onset - within) first += 1;
    for (let j = first; j < played.length; j++) {
      const other = played[j]!;
      if (other.onset > one.onset + within) break;
      if (Math.abs(other.note - one.note) * 100 > CENTS_WITHIN) continue;
      pairs.push({ edge: [i, j], wanted: one, played: other });
    }
  });
  const apart = (pair: Pair): number => Math.abs(delay(pair));
  return pairs.sort((a, b) => apart(a) - apart(b));
}

function endsWithin({ wanted, played }: Pair): boolean {
  if (wanted.offset === null || played.offset === null) return false;
  const apart = Math.abs(played.offset - wanted.offset);
  return apart <= OFFSET_WITHIN || apart * OFFSET_PART <= wanted.offset - wanted.onset;
}

function match(
  near: readonly NearPair[],
  wanted: readonly ListedNote[],
  played: readonly ListedNote[],
): Pair[] {
  const edges = near.map(({ edge }) => edge);
  const partners = maximumMatching(edges, wanted.length, played.length);
  return wanted.flatMap((one, i) => {
    const other = played[partners[i]!];
    return other ? [{ wanted: one, played: other }] : [];
  });
}

function ratesOf(right: number, wanted: number, played: number): Rates {
  if (right === 0) return { precision: 0, recall: 0, f: 0 };
  // 2PR / (P + R) with P = right / played and R = right / wanted, without their rounding.
  return { precision: right / played, recall: right / wanted, f: (2 * right) / (played + wanted) };
}

const delay = ({ wanted, played }: Pair): Micros => played.onset - wanted.onset;

function delayOf(matched: readonly Pair[]): OnsetDelay | null {
  if (matched.length === 0) return null;
  const delays = matched.map(delay).sort((a, b) => a - b);
  return {
    median: quantile(delays, 0.5),
    p99: quantile(delays, 0.99),
    mean: mean(delays),
    spread: standardDeviation(delays),
  };
}

/** Strengths where the wanted notes carry any, else velocities: the two are never mixed. */
function velocityRankOf(matched: readonly Pair[]): VelocityRank {
  const key = matched.some(({ wanted }) => wanted.strength !== null) ? 'strength' : 'velocity';
  const told = matched.flatMap(({ wanted, played }) => {
    const asked = wanted[key];
    return asked === null || played.velocity === null ? [] : [[asked, played.velocity] as const];
  });
  const correlation = rankCorrelation(
    told.map(([asked]) => asked),
    told.map(([, sounded]) => sounded),
  );
  return { correlation, pairs: told.length, with: key };
}
