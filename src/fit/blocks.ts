import { MILLISECOND, SECOND, type Micros } from '../time/micros.js';
import type { Stretch } from './marks.js';
import type { ListedNote } from '../takes/read-notes.js';

/** A part of one take that is scored by itself. */
export interface Block {
  /** Which take, counted from 0. */
  readonly take: number;
  /** Which of that take's blocks, counted from 0. */
  readonly part: number;
  readonly stretch: Stretch;
}

export const WHOLE: Stretch = { from: -Infinity, to: Infinity };

/** On either side of a cut there is room for a note that is as early or late as it may be, and more. */
const SILENCE = 2.4;
/** A wide window must not forbid every cut. */
const LONGEST: Micros = 500 * MILLISECOND;
/** One take is scored in this many blocks, where it is silent often enough. */
const PARTS = 4;
/** A block of fewer wanted notes says too little. */
const LEAST_NOTES = 8;
/** How long a take is looked at first. */
const BRIEF: Micros = 30 * SECOND;

/**
 * Takes as they are; or of a single one, stretches with about as many notes each.
 *
 * @param wanted by take, in the order of time
 * @param window how far onsets may be apart
 */
export function blocksOf(wanted: readonly (readonly ListedNote[])[], window: Micros): Block[] {
  if (wanted.length > 1) return wanted.map((_, take) => ({ take, part: 0, stretch: WHOLE }));
  const notes = wanted[0] ?? [];
  const parts = Math.min(PARTS, Math.floor(notes.length / LEAST_NOTES));
  const cuts: Micros[] = [];
  for (let i = 1; i < parts; i++) {
    const target = notes[Math.round((i * notes.length) / parts)]!.onset;
    const after = notes[Math.round(((i - 0.4) * notes.length) / parts)]!.onset;
    const before = notes[Math.round(((i + 0.4) * notes.length) / parts) - 1]!.onset;
    const cut = silenceNear(notes, target, { from: after, to: before }, window);
    if (cut !== null) cuts.push(cut);
  }
  return [...cuts, Infinity].map((to, part) => ({
    take: 0,
    part,
    stretch: { from: cuts[part - 1] ?? -Infinity, to },
  }));
}

/** The first half minute of a take, up to a silence; null where that is nearly all of it. */
export function briefOf(notes: readonly ListedNote[], window: Micros): Micros | null {
  const last = notes.at(-1)?.onset ?? 0;
  if (last < 1.5 * BRIEF) return null;
  return silenceNear(notes, BRIEF, { from: 0.7 * BRIEF, to: 1.3 * BRIEF }, window);
}

/** The middle of the silence nearest to a time, within a stretch; null where there is none. */
function silenceNear(
  notes: readonly ListedNote[],
  time: Micros,
  { from, to }: Stretch,
  window: Micros,
): Micros | null {
  const least = Math.min(LONGEST, SILENCE * window);
  let best: Micros | null = null;
  notes.forEach(({ onset }, i) => {
    const next = notes[i + 1]?.onset ?? Infinity;
    if (onset < from || next > to || next - onset < least) return;
    const middle = Math.round((onset + next) / 2);
    if (best === null || Math.abs(middle - time) < Math.abs(best - time)) best = middle;
  });
  return best;
}
