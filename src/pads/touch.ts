import type { Micros } from '../time/micros.js';
import type { Reset } from '../time/events.js';

/**
 * Calibrated readings of one time: `levels[i]` is pad `pads[i]`'s, 0 at rest and 1 at a full touch,
 * and `noise[i]` the standard deviation of the noise in it.
 */
export interface Levels {
  readonly type: 'levels';
  readonly t: Micros;
  readonly pads: readonly number[];
  readonly levels: readonly number[];
  readonly noise: readonly number[];
  /**
   * How far the scale of each level is known, from 0 (its full touch is a guess) to 1; left out: all
   * are known.
   */
  readonly known?: readonly number[];
}

export type LevelEvent = Levels | Reset;

/** A pad began to be touched. Never delayed. */
export interface Onset {
  readonly type: 'onset';
  readonly t: Micros;
  readonly pad: number;
}

/**
 * How hard the touch that began at `onset` was: `strength` from 0 to 1. After its onset, once a
 * touch, or never where the touch was over before it could be told from a flicker.
 */
export interface Strike {
  readonly type: 'strike';
  readonly t: Micros;
  readonly pad: number;
  readonly onset: Micros;
  /** When the finger first showed, under the threshold: its first contact, or the onset. */
  readonly contact: Micros;
  readonly strength: number;
  /** The level that it reaches, from which the strength is made. */
  readonly reach: number;
  /** The highest level that was read of it: lower than `reach` where contact was lost at once. */
  readonly shown: number;
  /** How long the finger was seen on its way to the threshold: long for one that is laid down slowly. */
  readonly landing: Micros;
}

/** A touched pad has left the threshold: it lifts, unless it comes back (a bounce) with a `firm`. */
export interface Loose {
  readonly type: 'loose';
  readonly t: Micros;
  readonly pad: number;
}

/** A loose pad is touched firmly again. */
export interface Firm {
  readonly type: 'firm';
  readonly t: Micros;
  readonly pad: number;
  /** The level that it came back with. */
  readonly level: number;
}

/**
 * A pad is no longer touched. Once a touch, after its strike if it had one; for a touch that a reset
 * ended, when the finger has gone.
 */
export interface Lift {
  readonly type: 'lift';
  readonly t: Micros;
  readonly pad: number;
}

export type TouchEvent = Onset | Strike | Loose | Firm | Lift | Reset;
