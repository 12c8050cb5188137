import type { Build, Instrument, Rules } from '../instrument/types.js';
import type { Micros } from '../time/micros.js';
import type { Reset } from '../time/events.js';

/**
 * What the board reported at one time: `raws[i]` is the raw value of input `inputs[i]`.
 * Inputs that did not change may be left out. Raw values are integers from 0 to the wire's full scale.
 */
export interface Scan {
  readonly type: 'scan';
  readonly t: Micros;
  readonly inputs: readonly number[];
  readonly raws: readonly number[];
}

/** A note that another computer made of its own readings, or the end of one. */
export type Played = PlayedOn | PlayedOff;

export interface PlayedOn {
  readonly type: 'played';
  readonly t: Micros;
  readonly on: true;
  /** Names this sounding to its end, among those of its seat. */
  readonly voice: number;
  /** MIDI note number, 0 to 127. */
  readonly note: number;
  /** 1 to 127. */
  readonly velocity: number;
  /** 0 to 1, as touched. */
  readonly strength: number;
  readonly string: number;
  readonly fret: number;
  /** What made it sound, one of the words of playing/note. */
  readonly how: string;
}

export interface PlayedOff {
  readonly type: 'played';
  readonly t: Micros;
  readonly on: false;
  readonly voice: number;
  /** The very next event carries it on. */
  readonly slurred: boolean;
}

/** From now on the seat plays by other files; what is left out stays as it is. */
export interface Swap {
  readonly type: 'swap';
  readonly t: Micros;
  readonly rules?: Rules;
  readonly instrument?: Instrument;
  /** null: calibrated as it goes. */
  readonly build?: Build | null;
  /** With no build: which pad each input is; left out: input n is pad n. */
  readonly wiring?: Build['wiring'];
}

/** All that a wire can bring, and what is changed meanwhile about the seat it comes to. */
export type WireEvent = Scan | Played | Reset | Swap;
