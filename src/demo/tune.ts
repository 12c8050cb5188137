import { pitchNumber } from '../instrument/pitch.js';
import { SECOND, type Micros } from '../time/micros.js';

/** One note of a tune: beats from the start, MIDI note number, beats long, strength 0 to 1. */
export interface TuneNote {
  readonly beat: number;
  readonly note: number;
  readonly beats: number;
  readonly strength: number;
  /** It carries on the note before, without a touch of its own. */
  readonly slurred?: boolean;
}

/*
 * All demos are one piece: eight bars of four beats in E minor, on the chords
 * Em, Em, Am, Am, C and Am, Am and C, Bm and Em, Em.
 */
const BARS = 8;
const BEATS_PER_BAR = 4;
const BEAT: Micros = SECOND / 1.8;
const FIRST: Micros = SECOND;

/** How long the demo lasts, with a bar to let the last note ring. */
export const DEMO_LENGTH: Micros = Math.round(FIRST + (BARS + 1) * BEATS_PER_BAR * BEAT);

export function timeOf(beat: number): Micros {
  return Math.round(FIRST + beat * BEAT);
}

/** When a note that begins at `at` ends. */
export function endOf(at: Micros, beats: number): Micros {
  return Math.round(at + beats * BEAT);
}

/** How hard a careful player touches on a beat of the bar: the first one most, between beats least. */
export function accentOf(beat: number): number {
  return beat === 0 ? 1 : beat % 1 === 0 ? 0.85 : 0.72;
}

/**
 * A tune from its bars: touches parted by commas, each a beat of the bar, one pitch name or drum
 * number or more, and how many beats long. A beat with `~` before it is slurred.
 *
 * @example tuneOf(['0 E4 G4 B4 1.4, 1.5 E4 .4'])
 */
export function tuneOf(bars: readonly string[]): TuneNote[] {
  return bars.flatMap((bar, i) =>
    bar.split(',').flatMap((touch) => {
      const words = touch.trim().split(/\s+/);
      const slurred = words[0]!.startsWith('~');
      const beat = Number(words[0]!.replace('~', ''));
      const beats = Number(words.at(-1));
      return words.slice(1, -1).map((word) => ({
        beat: i * BEATS_PER_BAR + beat,
        note: pitchNumber(word) ?? Number(word),
        beats,
        strength: accentOf(beat),
        ...(slurred ? { slurred } : {}),
      }));
    }),
  );
}

/** Octaves up and down to try, the least change first. */
const OCTAVES = [0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5];

/**
 * The tune, and the octave of it, of which an instrument has the most: the first of those that are as
 * good. Notes that it does not have are left out.
 */
export function fitted(
  tunes: readonly (readonly TuneNote[])[],
  has: (note: number) => boolean,
): TuneNote[] {
  let best: TuneNote[] = [];
  let most = 0;
  for (const tune of tunes) {
    for (const octave of OCTAVES) {
      const moved = tune.map((one) => ({ ...one, note: one.note + 12 * octave }));
      const had = moved.filter(({ note }) => has(note));
      const share = had.length / tune.length;
      if (share <= most) continue;
      best = withoutOthers(moved, has);
      most = share;
    }
  }
  return best;
}

/** What carried on a note that is left out begins by itself. */
function withoutOthers(tune: readonly TuneNote[], has: (note: number) => boolean): TuneNote[] {
  return tune.flatMap((one, i) => {
    if (!has(one.note)) return [];
    const before = tune[i - 1];
    return one.slurred && before && !has(before.note) ? [{ ...one, slurred: false }] : [one];
  });
}
