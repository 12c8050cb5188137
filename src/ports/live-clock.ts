import type { Clock } from '../time/clock.js';
import type { Micros } from '../time/micros.js';
import { Turning } from './turning.js';

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
 * How long before an alarm its timer hands over to turns of the event loop. A timer that Node is asked for in whole
 * milliseconds is 0.15 ms late on an idle machine, and 0.5 ms for one in a hundred (Node 20); turns come every few
 * microseconds and let waiting bytes in between.
 */
const HANDOVER: Micros = 1_000;

/** How late a timer is even so. */
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
 * alarm never rings before its time nor inside the call that asked for it. It rings at its time where alarms are few;
 * where so many come that turning for each would take a processor, up to about 1.1 ms after it.
 */
export function liveClock(timers: Timers = nodeTimers): LiveClock {
  let latest: Micros = 0;
  const turning = new Turning();
  const read = (): Micros => Math.floor(timers.now() * 1_000);

  return {
    now: read,
    stamp(t) {
      const now = read();
      const own = t === undefined || Number.isNaN(t) ? now : Math.min(Math.round(t), now);
      return (latest = Math.max(latest, own));
    },
    alarm(at, ring) {
      if (at === Infinity) return () => undefined;
      let asked: Micros = 0;
      let cancel = approach(read());

      function approach(now: Micros): () => void {
        const left = at - now;
        const bulk = Math.floor((left - HANDOVER) / 1_000);
        if (bulk >= 1) return wait(bulk);
        if (left > 0 && !turning.may(left, now)) {
          return wait(Math.max(1, Math.floor((left - TIMER_LATE) / 1_000)));
        }
        asked = now;
        return timers.soon(turn);
      }

      function wait(ms: number): () => void {
        return timers.after(Math.min(ms, LONGEST_TIMER_MS), () => {
          cancel = approach(read());
        });
      }

      function turn(): void {
        const now = read();
        turning.spent(asked, now);
        if (now < at) {
          cancel = approach(now);
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
