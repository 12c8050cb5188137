import { MILLISECOND, type Micros } from '../time/micros.js';
import type { ListedNote } from '../takes/read-notes.js';
import { score } from './score.js';

/** Where in a take wanted notes begin. */
export interface Alignment {
  /** By how much the wanted notes are to be moved, later if above 0. */
  readonly shift: Micros;
  /** How many of them are right then. */
  readonly right: number;
}

/** Offsets this near to each other speak for the same shift: a player is no metronome. */
const TOGETHER: Micros = 100 * MILLISECOND;
/** Of more pairs than this, those of every second or third wanted note are looked at, or fewer. */
const MOST_PAIRS = 1_000_000;
/** So many of the shifts that most pairs of notes speak for are tried. */
const TRIED = 8;

/**
 * Finds by how much wanted notes must be moved to fit what was played, so that whoever follows an
 * exercise may begin at any time: every pair of a wanted and a played note of one pitch speaks for a
 * shift, and those that the most of them speak for are tried. The shift found makes half of the right
 * notes early and half late: how late notes are is then counted from how the player kept the beat.
 *
 * @param window how far the onset of a right note may be from the wanted one
 * @returns null where no note is right by any shift
 */
export function align(
  wanted: readonly ListedNote[],
  played: readonly ListedNote[],
  window: Micros,
): Alignment | null {
  const offsets = offsetsOf(wanted, played).sort((a, b) => a - b);
  let best: Alignment | null = null;
  for (const shift of likely(offsets)) {
    const { matched } = score(moved(wanted, shift), played, window);
    if (matched.length <= (best?.right ?? 0)) continue;
    const late = matched.map((one) => one.played.onset - one.wanted.onset).sort((a, b) => a - b);
    const middle = shift + late[Math.floor(late.length / 2)]!;
    const { length: right } = score(moved(wanted, middle), played, window).matched;
    best = right >= matched.length ? { shift: middle, right } : { shift, right: matched.length };
  }
  return best;
}

/** How far each pair of a wanted and a played note of one pitch is apart; of very many notes, of some. */
function offsetsOf(wanted: readonly ListedNote[], played: readonly ListedNote[]): Float64Array {
  const byPitch = new Map<number, Micros[]>();
  for (const { note, onset } of played) {
    const own = byPitch.get(note);
    if (own) own.push(onset);
    else byPitch.set(note, [onset]);
  }
  const pairs = wanted.reduce((sum, { note }) => sum + (byPitch.get(note)?.length ?? 0), 0);
  const step = Math.max(1, Math.ceil(pairs / MOST_PAIRS));
  const offsets: Micros[] = [];
  for (let i = 0; i < wanted.length; i += step) {
    const { note, onset } = wanted[i]!;
    for (const one of byPitch.get(note) ?? []) offsets.push(one - onset);
  }
  return Float64Array.from(offsets);
}

/** Wanted notes in the time of a take. */
export function moved(notes: readonly ListedNote[], shift: Micros): ListedNote[] {
  return notes.map((one) => ({
    ...one,
    onset: one.onset + shift,
    offset: one.offset === null ? null : one.offset + shift,
  }));
}

/** The middles of where most offsets lie together, those with most first. */
function likely(sorted: Float64Array): Micros[] {
  const heaps: { count: number; middle: Micros }[] = [];
  let to = 0;
  sorted.forEach((offset, from) => {
    while (to < sorted.length && sorted[to]! <= offset + TOGETHER) to += 1;
    heaps.push({ count: to - from, middle: sorted[Math.floor((from + to - 1) / 2)]! });
  });
  heaps.sort((a, b) => b.count - a.count);
  const found: Micros[] = [];
  for (const { middle } of heaps) {
    if (found.length === TRIED) break;
    if (found.every((one) => Math.abs(one - middle) > TOGETHER / 2)) found.push(middle);
  }
  return found;
}
