import type { Micros } from '../time/micros.js';
import type { How } from '../playing/note.js';

/** A note that won its place: what every engine is told. */
export interface VoiceOn {
  readonly type: 'on';
  readonly t: Micros;
  /** Names this sounding from its on to its off; counts up from 1 and never comes again. */
  readonly voice: number;
  /** Counted from 0 in the order of the room file. */
  readonly seat: number;
  readonly note: number;
  readonly velocity: number;
  readonly strength: number;
  /** Which string, key or drum pad of the seat, counted from 0. */
  readonly string: number;
  readonly fret: number;
  readonly how: How;
}

/** The end of a voice, exactly once. `slurred`: the very next event carries it on, on the same string. */
export interface VoiceOff {
  readonly type: 'off';
  readonly t: Micros;
  readonly voice: number;
  readonly seat: number;
  readonly note: number;
  readonly string: number;
  readonly slurred: boolean;
}

/** How a seat sounds from now on, among the others: what is on already changes with it. */
export interface Mix {
  readonly type: 'mix';
  readonly t: Micros;
  readonly seat: number;
  /** 0 to 1, with all that turns the seat down counted in; applied to the amplitude. */
  readonly level: number;
  /** −1 is left, 0 the middle, 1 right. */
  readonly pan: number;
  /** General MIDI program, or drum kit, counted from 1: for notes that begin from now on. */
  readonly sound: number;
  /** Whether the others are turned down while this seat sounds. */
  readonly lead: boolean;
}

/** Everything ends at once. Each sounding voice has had its own off before. */
export interface Silence {
  readonly type: 'silence';
  readonly t: Micros;
}

export type VoiceEvent = VoiceOn | VoiceOff | Mix | Silence;
