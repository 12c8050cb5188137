import type { Micros } from '../time/micros.js';
import type { Reset } from '../time/events.js';

/** Calibrated readings of one time: `levels[i]` is pad `pads[i]`'s, 0 at rest and 1 at a full touch. */
export interface Levels {
  readonly type: 'levels';
  readonly t: Micros;
  readonly pads: readonly number[];
  readonly levels: readonly number[];
}

export type LevelEvent = Levels | Reset;

/** A pad began to be touched. Never delayed. */
export interface Onset {
  readonly type: 'onset';
  readonly t: Micros;
  readonly pad: number;
}

/** How hard the touch that began at `onset` was: `strength` from 0 to 1. Once a touch, after its onset. */
export interface Strike {
  readonly type: 'strike';
  readonly t: Micros;
  readonly pad: number;
  readonly onset: Micros;
  readonly strength: number;
}

/** A pad is no longer touched. Once a touch, after its strike. */
export interface Lift {
  readonly type: 'lift';
  readonly t: Micros;
  readonly pad: number;
}

export type TouchEvent = Onset | Strike | Lift | Reset;
