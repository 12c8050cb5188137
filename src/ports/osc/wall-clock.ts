import { MILLISECOND, type Micros } from '../../time/micros.js';

/** The two clocks of a computer, in milliseconds: since the process began, and since 1970. */
export interface BothClocks {
  /** Never falls. */
  readonly now: () => number;
  /** May be set while the process runs. */
  readonly date: () => number;
}

/** `Date` counts whole milliseconds; a larger difference means that somebody set the clock. */
const SET: Micros = 5 * MILLISECOND;

/**
 * Turns times of the live clock into microseconds since 1970, by the computer's present idea of it:
 * a small computer without a battery learns the date from the network, minutes after it started.
 */
export function wallClock({ now, date }: BothClocks): (t: Micros) => Micros {
  const measure = (): Micros => Math.round((date() - now()) * MILLISECOND);
  let offset = measure();
  return (t) => {
    const fresh = measure();
    if (Math.abs(fresh - offset) > SET) offset = fresh;
    return t + offset;
  };
}
