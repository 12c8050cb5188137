import type { Micros } from '../time/micros.js';
import type { PlayedNote } from './notes.js';
import { maximumMatching, type Edge } from '../score/match.js';

/** A note of A and the one of B that is the same one played otherwise; null where there is none. */
export type NotePair =
  | { readonly a: PlayedNote; readonly b: PlayedNote }
  | { readonly a: PlayedNote; readonly b: null }
  | { readonly a: null; readonly b: PlayedNote };

/**
 * Finds for each note of A its counterpart in B, each used once: as many as possible of the same
 * string and pitch whose onsets are at most `within` apart, and then of those left over as many as
 * possible of the same string at another pitch. Near onsets are paired first, so that a note that
 * one side misses does not shift all that follow it.
 *
 * @param within the farthest that onsets may be apart, in microseconds; the limit is included
 * @returns every note of both sides exactly once, in the order of time
 */
export function pairNotes(
  a: readonly PlayedNote[],
  b: readonly PlayedNote[],
  within: Micros,
): NotePair[] {
  const same = matched(a, b, within, (one, other) => one.note === other.note);
  const otherPitch = matched(same.onlyA, same.onlyB, within, () => true);
  const pairs: NotePair[] = [
    ...same.pairs,
    ...otherPitch.pairs,
    ...otherPitch.onlyA.map((one) => ({ a: one, b: null })),
    ...otherPitch.onlyB.map((one) => ({ a: null, b: one })),
  ];
  return pairs.sort((one, other) => begin(one) - begin(other) || string(one) - string(other));
}

/** When the first of the two begins. */
export function begin({ a, b }: NotePair): Micros {
  return Math.min(a?.onset ?? Infinity, b?.onset ?? Infinity);
}

/** The string of both, counted from 0. */
export function string({ a, b }: NotePair): number {
  return (a ?? b).string;
}

interface Matched {
  readonly pairs: readonly { readonly a: PlayedNote; readonly b: PlayedNote }[];
  readonly onlyA: readonly PlayedNote[];
  readonly onlyB: readonly PlayedNote[];
}

function matched(
  a: readonly PlayedNote[],
  b: readonly PlayedNote[],
  within: Micros,
  fits: (one: PlayedNote, other: PlayedNote) => boolean,
): Matched {
  const inTime = (notes: readonly PlayedNote[]): PlayedNote[] =>
    [...notes].sort((one, other) => one.onset - other.onset);
  const [lefts, rights] = [inTime(a), inTime(b)];
  const partners = maximumMatching(edges(lefts, rights, within, fits), lefts.length, rights.length);
  const used = new Set(partners);
  return {
    pairs: lefts.flatMap((one, i) => {
      const other = rights[partners[i]!];
      return other ? [{ a: one, b: other }] : [];
    }),
    onlyA: lefts.filter((_, i) => partners[i]! < 0),
    onlyB: rights.filter((_, i) => !used.has(i)),
  };
}

/** All that may go together, the nearest first; both lists are in the order of time. */
function edges(
  lefts: readonly PlayedNote[],
  rights: readonly PlayedNote[],
  within: Micros,
  fits: (one: PlayedNote, other: PlayedNote) => boolean,
): Edge[] {
  const found: { edge: Edge; apart: Micros }[] = [];
  let first = 0;
  lefts.forEach((one, i) => {
    while (first < rights.length && rights[first]!.onset < one.onset - within) first += 1;
    for (let j = first; j < rights.length; j++) {
      const other = rights[j]!;
      if (other.onset > one.onset + within) break;
      if (other.string !== one.string || !fits(one, other)) continue;
      found.push({ edge: [i, j], apart: Math.abs(other.onset - one.onset) });
    }
  });
  return found.sort((one, other) => one.apart - other.apart).map(({ edge }) => edge);
}
