import type { SeatMix } from '../../../src/room/plan.js';
import type { Wish } from '../../../src/room/change.js';
import type { Micros } from '../../../src/time/micros.js';

/**
 * One thing that happens in a room. It has its own time and needs no other move, so that any part of a
 * script is a script too: that is what lets a failing one be shortened.
 */
export type Move = { readonly at: Micros } & Happening;

export type Happening =
  /** A board sends readings. They carry a time that lies `lag` before they arrive. */
  | {
      readonly what: 'scan';
      readonly seat: number;
      readonly lag: Micros;
      readonly inputs: readonly number[];
      readonly raws: readonly number[];
    }
  /** Another computer sends a note, or its end. */
  | {
      readonly what: 'note';
      readonly seat: number;
      readonly on: boolean;
      readonly voice: number;
      readonly note: number;
      readonly string: number;
    }
  | { readonly what: 'gone'; readonly seat: number; readonly why: 'lost' | 'overflow' }
  /** Files of a seat change: rules by their place in the pool, an instrument by name. */
  | {
      readonly what: 'swap';
      readonly seat: number;
      readonly rules?: number;
      readonly instrument?: string;
      readonly build?: 'calibrated' | 'none';
    }
  | { readonly what: 'wish'; readonly wish: Wish }
  | { readonly what: 'silence' }
  /** A seat gives its slot back; its board goes on sending. */
  | { readonly what: 'leave'; readonly seat: number }
  /** Another one takes the slot, whether it is free or not. */
  | {
      readonly what: 'join';
      readonly seat: number;
      readonly rules: number;
      readonly mix: Pick<SeatMix, 'level' | 'mute' | 'solo' | 'lead'>;
    }
  /** A further engine comes, or goes where it is there. */
  | { readonly what: 'engine' }
  /** The first engine throws at the next few events. */
  | { readonly what: 'engine-fault'; readonly times: number }
  /** The stage that makes levels of one seat's readings throws at its next event. */
  | { readonly what: 'stage-fault'; readonly seat: number }
  /** The whole way throws at its next event. */
  | { readonly what: 'way-fault' }
  /** The computer sleeps, or is too busy for anything; what comes next finds it awake again. */
  | { readonly what: 'asleep'; readonly length: Micros }
  /** Nobody has touched anything for five seconds: nothing may sound. */
  | { readonly what: 'still' };

/** Everything about a run but its moves. */
export interface Script {
  readonly seed: number;
  readonly moves: readonly Move[];
  /**
   * `replay`: alarms ring late or not at all, and the take must give the same again. `faults`: stages
   * and the whole way throw too, which no take can say.
   */
  readonly mode: 'replay' | 'faults';
  /** Alarms ring, and boards that stop are noticed; else somebody must say that they are lost. */
  readonly alarms: boolean;
}
