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

/** All that a wire can bring. */
export type WireEvent = Scan | Reset;
