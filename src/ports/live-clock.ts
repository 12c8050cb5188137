import type { Clock } from '../time/clock.js';
import type { Micros } from '../time/micros.js';

/** What the live clock needs of Node, so that a test can stand in for it without sleeping. */
export interface Timers {
  /** Milliseconds on a clock that never falls. */
  now(): number;
  /** Calls back after about `ms`; returns what takes it back. */
  after(ms: number, call: () => void): () => void;
  /** Calls back in the next turn of the event loop; returns what takes it back. */
  soon(call: () => void): () => void;
}

/**
 * Node's own timers. They do not keep the process running: an alarm only ends or finishes what a
 * device began, and the device keeps the process running by itself.
 */
export const nodeTimers: Timers = {
  now: () => performance.now(),
  after(ms, call) {
    const timer = setTimeout(call, ms).unref();
    return () => {
      clearTimeout(timer);
    };
  },
  soon(call) {
    // Not unref'd: the event loop sleeps until its next timer where only such turns are waiting.
    const turn = setImmediate(call);
    return () => {
      clearImmediate(turn);
    };
  },
};

/**
 * How long before an alarm its timer hands over to turns of the event loop. A Node timer is up to
 * about 1.2 ms late (1 ms steps, measured on Node 20); turns come every few microseconds and let
 * waiting bytes in between. Longer would only burn a processor that others share.
 */
const HANDOVER: Micros = 2_000;

/**
 * How late a timer is at the median. A thrifty alarm asks for a timer of so much less, or of 1 ms: with a pluck a
 * millisecond, alarms that were all punctual took 97 % of a core, and made whatever else woke on that core wait.
 */
const TIMER_LATE: Micros = 150;

/** Node takes a longer timer for one of 1 ms. */
const LONGEST_TIMER_MS = 2 ** 31 - 1;

export interface LiveClock extends Clock {
  /** The time now. Unlike a stamp it holds no later stamp back: for bytes that may bring their own time. */
  now(): Micros;
}

/**
 * The clock of live playing: integer microseconds since the process began.
 *
 * A stamp is never in the future, so a board's own time that runs ahead is held back to now. An
 * alarm never rings before its time nor inside the call that asked for it.
 */
export function liveClock(timers: Timers = nodeTimers): LiveClock {
  let latest: Micros = 0;
  const read = (): Micros => Math.floor(timers.now() * 1_000);

  return {
    now: read,
    stamp(t) {
      const now = read();
      const own = t === undefined || Number.isNaN(t) ? now : Math.min(Math.round(t), now);
      return (latest = Math.max(latest, own));
    },
    alarm(at, ring, how = 'punctual') {
      if (at === Infinity) return () => undefined;
      let cancel = approach();

      function approach(): () => void {
        const left = at - read();
        const bulk = Math.floor((left - (how === 'thrifty' ? TIMER_LATE : HANDOVER)) / 1_000);
        if (left <= 0 || (bulk < 1 && how === 'punctual')) return timers.soon(turn);
        return timers.after(Math.min(Math.max(1, bulk), LONGEST_TIMER_MS), () => {
          cancel = approach();
        });
      }

      function turn(): void {
        if (read() < at) {
          cancel = approach();
          return;
        }
        latest = Math.max(latest, at);
        ring();
      }

      return () => {
        cancel();
      };
    },
  };
}
