import { uptime } from 'node:os';
import { MILLISECOND, SECOND, type Micros } from '../../time/micros.js';

/** What tells a program that was stopped, or a computer that slept, from one that is only busy. */
export interface AwakeClocks {
  /** Milliseconds since 1970; it may be set. */
  date(): number;
  /** Seconds since the computer was started, its sleep counted in; it is never set. */
  uptime(): number;
  /** Microseconds of processor time that this program has used, all its threads counted. */
  used(): Micros;
}

export const systemClocks: AwakeClocks = {
  date: () => Date.now(),
  uptime,
  used() {
    const { user, system } = process.cpuUsage();
    return user + system;
  },
};

/** Whoever was away for longer than this has missed more than can be made up. */
export const AWAY: Micros = 2 * SECOND;

/** A program that computed for this share of a time in which it did not listen was only busy. */
const BUSY = 0.5;

/**
 * Finds out whether this program was stopped, or only busy by itself, as when a slow computer starts it.
 *
 * @returns to be called steadily with how long nobody had listened; gives how long of that it was stopped
 */
export function stopWatch(clocks: AwakeClocks): (missed: Micros) => Micros {
  let before = clocks.used();
  return (missed) => {
    const used = clocks.used() - before;
    before += used;
    return used > BUSY * missed ? 0 : missed;
  };
}

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
