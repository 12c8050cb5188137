import type { Rules } from '../instrument/types.js';
import type { Micros } from '../time/micros.js';
import type { Reset } from '../time/events.js';

/**
 * What made a note sound. These begin one: `pluck` of a string, `press` of a key, `blow` of a pipe,
 * `hit` of a drum pad. The others are slurs, which carry a sounding note on to another pitch
 * (`late`: the pluck's own fret came a moment after it; `finger`: another fingering of a pipe).
 */
export type How = (typeof HOWS)[number];

export const HOWS = [
  ...(['pluck', 'press', 'blow', 'hit'] as const),
  ...(['hammer', 'pull', 'slide', 'late', 'finger'] as const),
] as const;

/**
 * A note begins on a string that is silent: an `off` always comes before the next `on` of a string.
 * A key and a drum pad count as a string each, a pipe as one.
 */
export interface NoteOn {
  readonly type: 'on';
  readonly t: Micros;
  /** MIDI note number, 0 to 127. */
  readonly note: number;
  /** 1 to 127. */
  readonly velocity: number;
  /** 0 to 1, as touched. */
  readonly strength: number;
  /** Which string, key or drum pad, counted from 0 in the order of the instrument file. */
  readonly string: number;
  /** 0 is the open string, and what all other kinds have. */
  readonly fret: number;
  readonly how: How;
}

/** The note of a string ends. `slurred`: the very next event is the `on` that carries it on. */
export interface NoteOff {
  readonly type: 'off';
  readonly t: Micros;
  readonly note: number;
  readonly string: number;
  readonly slurred: boolean;
}

/** From now on the seat keeps to another limit of voices. */
export interface Limits {
  readonly type: 'limits';
  readonly t: Micros;
  readonly voices: Rules['voices'];
}

export type NoteEvent = NoteOn | NoteOff | Reset;

/** All that a seat tells the room. */
export type SeatEvent = NoteEvent | Limits;
