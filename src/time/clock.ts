import type { Micros } from './micros.js';

/** What the adapter needs of a clock, so that live playing and a take run again share all code. */
export interface Clock {
  /**
   * A time for something that happened: `t` where its own time is known, else now. Never earlier
   * than an earlier stamp nor than an alarm that has rung, so that what was played live and the
   * take of it order the same.
   */
  stamp(t?: Micros): Micros;
  /**
   * Calls `ring` once, at `at` or a little later; returns what takes the request back.
   *
   * `punctual` is as exact as can be, and burns a processor for the last few ms. `thrifty` leaves it to others and
   * rings 1.2 ms late at most, where the machine is not busy.
   */
  alarm(at: Micros, ring: () => void, how?: 'punctual' | 'thrifty'): () => void;
}

/** The clock of a take run again: events bring their time, and nothing happens between them. */
export function virtualClock(): Clock {
  let latest: Micros = 0;
  return {
    stamp: (t = latest) => (latest = Math.max(latest, t)),
    alarm: () => () => undefined,
  };
}
