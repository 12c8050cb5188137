import type { Micros } from '../time/micros.js';
import type { Reset } from '../time/events.js';

/**
 * What made a note sound. All but a pluck are slurs: they carry a sounding note on to another pitch
 * (`late`: the pluck's own fret came a moment after it).
 */
export type How = 'pluck' | 'hammer' | 'pull' | 'slide' | 'late';

/** A note begins on a string that is silent: an `off` always comes before the next `on` of a string. */
export interface NoteOn {
  readonly type: 'on';
  readonly t: Micros;
  /** MIDI note number, 0 to 127. */
  readonly note: number;
  /** 1 to 127. */
  readonly velocity: number;
  /** 0 to 1, as touched. */
  readonly strength: number;
  /** Which string, counted from 0 in the order of the instrument file. */
  readonly string: number;
  /** 0 is the open string. */
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

export type NoteEvent = NoteOn | NoteOff | Reset;
