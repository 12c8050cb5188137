import type { Strike } from '../pads/touch.js';
import type { Micros } from '../time/micros.js';
import type { Habits } from './habits.js';
import type { HeldFret } from './held.js';
import type { How, NoteEvent } from './note.js';
import type { StringState } from './string-table.js';

/** What sounds on a string. */
export interface Sounding {
  readonly note: number;
  readonly fret: number;
  readonly strength: number;
  readonly velocity: number;
  readonly since: Micros;
}

/** A pluck that waits for the fret that it may be meant for. */
export interface Waiting {
  readonly strength: number;
  readonly until: Micros;
}

/** How a fret carries a note on without a pluck. */
export type Slur = 'hammer' | 'pull' | 'slide';

/** A slur that waits for the pluck that may follow. */
export interface Poised {
  readonly fret: number;
  readonly strength: number;
  readonly how: Slur;
  readonly until: Micros;
}

/** A fret that a slur sounded, and until when a pluck of it shows that the slur was not meant. */
export interface Slurred {
  readonly fret: number;
  readonly how: Slur;
  readonly until: Micros;
}

/** One string while it is played. Changed in place by its player's functions. */
export interface StringPlay {
  state: StringState;
  held: HeldFret[];
  sounding: Sounding | null;
  /** Since when the pluck pad has been held; null where it is not. */
  plucked: Micros | null;
  waiting: Waiting | null;
  /** Until when a fret that comes was late for the last pluck; NEVER where that one had its fret. */
  lateUntil: Micros;
  poised: Poised | null;
  slurred: Slurred | null;
  /** When the ring, or the wait for a slide, is over. */
  due: Micros;
  /** When holding the pluck pad damps. */
  damp: Micros;
}

/** The note that a signal asks for. */
export interface Wanted {
  readonly fret: number;
  readonly strength: number;
  readonly how: How;
}

/** What can happen to one string; each puts its notes into `out`. */
export interface StringPlayer {
  begin(): StringPlay;
  pressPluck(play: StringPlay, t: Micros): void;
  pluck(
    play: StringPlay,
    t: Micros,
    strike: Pick<Strike, 'contact' | 'strength'>,
    habits: Habits,
    out: NoteEvent[],
  ): void;
  liftPluck(play: StringPlay): void;
  pressFret(play: StringPlay, t: Micros, fret: number, habits: Habits, out: NoteEvent[]): void;
  strikeFret(
    play: StringPlay,
    t: Micros,
    fret: number,
    strength: number,
    habits: Habits,
    out: NoteEvent[],
  ): void;
  loosenFret(play: StringPlay, t: Micros, fret: number): void;
  firmFret(play: StringPlay, fret: number): void;
  liftFret(play: StringPlay, t: Micros, fret: number, habits: Habits, out: NoteEvent[]): void;
  wake(play: StringPlay, t: Micros, habits: Habits, out: NoteEvent[]): void;
  reset(play: StringPlay, t: Micros, out: NoteEvent[]): void;
  /** When the string wants to be woken. */
  wakeOf(play: StringPlay): Micros;
}
