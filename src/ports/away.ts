import { uptime } from 'node:os';
import { MILLISECOND, SECOND, type Micros } from '../time/micros.js';

/** Clocks that go on while the computer sleeps, as the one of playing may not. */
export interface AwakeClocks {
  /** Milliseconds since 1970; it may be set. */
  date(): number;
  /** Seconds since the computer was started, its sleep counted in; it is never set. */
  uptime(): number;
}

export const systemClocks: AwakeClocks = { date: () => Date.now(), uptime };

/** Whoever was away for longer than this has missed more than can be made up. */
export const AWAY: Micros = 2 * SECOND;

/**
 * Finds out how long the computer slept while the clock of playing stood still. The date is looked at
 * each time; where it jumped it may only have been set, which the time since the start shows.
 *
 * @param start the time now on the clock of playing
 * @returns to be called steadily with the time now; gives how long it slept since the last call
 */
export function sleepWatch(start: Micros, clocks: AwakeClocks): (now: Micros) => Micros {
  const dateAhead = (now: Micros): Micros => clocks.date() * MILLISECOND - now;
  const uptimeAhead = (now: Micros): Micros => clocks.uptime() * SECOND - now;
  let date = dateAhead(start);
  let up = uptimeAhead(start);
  return (now) => {
    const dateNow = dateAhead(now);
    if (Math.abs(dateNow - date) <= AWAY) return 0;
    date = dateNow;
    const upNow = uptimeAhead(now);
    const slept = upNow - up;
    up = upNow;
    return slept > AWAY ? slept : 0;
  };
}
