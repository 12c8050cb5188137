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

/** Everything ends at once. Each sounding voice has had its own off before. */
export interface Silence {
  readonly type: 'silence';
  readonly t: Micros;
}

export type VoiceEvent = VoiceOn | VoiceOff | Silence;
