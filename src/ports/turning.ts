import type { Micros } from '../time/micros.js';

/** What turns of the event loop may take of a processor that others share. */
const SHARE = 0.05;
/** And at once, after a pause. */
const MOST: Micros = 10_000;

/**
 * How much longer the event loop may be turned round, so that alarms ring at their very time.
 *
 * Where it is used up there is a pause, until all of it may be used again. With a pluck a millisecond, turning for
 * every alarm took 97 % of a core, and this takes 15 % (measured on two cores); turning for every alarm for as long as
 * some budget lasted made one pluck in twenty later than turning for none.
 */
export class Turning {
  private left: Micros = MOST;
  private pausing = false;
  private filled: Micros = 0;
  private counted: Micros = 0;

  /** Whether it may be for as long as `wanted` from now on. */
  may(wanted: Micros, now: Micros): boolean {
    this.left = Math.min(MOST, this.left + SHARE * (now - this.filled));
    this.filled = now;
    this.pausing = this.pausing ? this.left < MOST : this.left < wanted;
    return !this.pausing;
  }

  /** It was from `since` on; what several alarms turned for at once counts once. */
  spent(since: Micros, now: Micros): void {
    this.left -= now - Math.max(since, this.counted);
    this.counted = now;
  }
}
