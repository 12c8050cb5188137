import type { Later } from '../../../src/page/browser/parts/wish.js';

/** Timers that go off when a test says so. */
export function madeUpTimers(): { readonly later: Later; pass(ms: number): void } {
  let now = 0;
  let waiting: { readonly at: number; readonly then: () => void }[] = [];
  return {
    later(ms, then) {
      const one = { at: now + ms, then };
      waiting.push(one);
      return () => {
        waiting = waiting.filter((other) => other !== one);
      };
    },
    pass(ms) {
      const end = now + ms;
      for (;;) {
        const due = waiting.filter(({ at }) => at <= end).sort((a, b) => a.at - b.at)[0];
        if (!due) break;
        now = due.at;
        waiting = waiting.filter((other) => other !== due);
        due.then();
      }
      now = end;
    },
  };
}

/** Lets promises that are settled already call back. */
export async function settled(): Promise<void> {
  for (let i = 0; i < 5; i++) await Promise.resolve();
}
