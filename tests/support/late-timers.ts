import type { Timers } from '../../src/ports/live-clock.js';

/**
 * Node's timers in a time of their own: each is late by up to `late` ms, by chance. A turn of the event
 * loop takes `turn` ms.
 */
export function lateTimers(
  random: () => number,
  late = 3,
  turn = 0.02,
): Timers & {
  /** Calls what is due until `ms`, or until nothing is. */
  run(ms?: number): void;
  /** Lets time go by as where the computer is too busy to call anything. */
  jump(ms: number): void;
  /** How many calls are waited for. */
  waiting(): number;
} {
  let now = 0;
  /** In the order of time; of two at once the one that was asked for first. */
  const queue: { at: number; call: () => void }[] = [];
  const add = (at: number, call: () => void): (() => void) => {
    const one = { at, call };
    let low = 0;
    for (let high = queue.length; low < high;) {
      const middle = (low + high) >> 1;
      if (queue[middle]!.at <= at) low = middle + 1;
      else high = middle;
    }
    queue.splice(low, 0, one);
    return () => {
      const index = queue.indexOf(one);
      if (index >= 0) queue.splice(index, 1);
    };
  };
  return {
    now: () => now,
    after: (ms, call) => add(now + ms + late * random(), call),
    soon: (call) => add(now + turn, call),
    run(until = Infinity) {
      for (let next = queue[0]; next && next.at <= until; next = queue[0]) {
        queue.shift();
        now = Math.max(now, next.at);
        next.call();
      }
      if (until !== Infinity) now = Math.max(now, until);
    },
    jump: (ms) => (now += ms),
    waiting: () => queue.length,
  };
}
