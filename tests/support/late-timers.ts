import type { Timers } from '../../src/ports/live-clock.js';

/** Node's timers in a time of their own: each is late by up to `late` ms, by chance. */
export function lateTimers(
  random: () => number,
  late = 3,
): Timers & {
  /** Calls what is due until `ms`, or until nothing is. */
  run(ms?: number): void;
} {
  let now = 0;
  let order = 0;
  const queue = new Set<{ at: number; order: number; call: () => void }>();
  const add = (at: number, call: () => void): (() => void) => {
    const one = { at, order: order++, call };
    queue.add(one);
    return () => queue.delete(one);
  };
  return {
    now: () => now,
    after: (ms, call) => add(now + ms + late * random(), call),
    soon: (call) => add(now + 0.02, call),
    run(until = Infinity) {
      for (;;) {
        const [next] = [...queue].sort((a, b) => a.at - b.at || a.order - b.order);
        if (!next || next.at > until) break;
        queue.delete(next);
        now = Math.max(now, next.at);
        next.call();
      }
      if (until !== Infinity) now = Math.max(now, until);
    },
  };
}
