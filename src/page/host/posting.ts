import type { Timers } from '../../ports/live-clock.js';
import type { HostState } from './messages.js';

type Part = keyof HostState;

/** No part of the state is told more often than this: a hand on a slider makes a change a frame. */
const EVERY_MS = 50;

/** Tells the page's thread each part of the state as it changes. */
export interface Posting {
  /** A part is another now. */
  changed(part: Part): void;
  /** Tells at once what is still untold. */
  flush(): void;
  stop(): void;
}

/**
 * @param make makes a part as it is now
 * @param post tells it
 */
export function posting(
  make: <P extends Part>(part: P) => HostState[P],
  post: (part: Part, now: HostState[Part]) => void,
  timers: Timers,
): Posting {
  /** Parts that were told lately, and what takes back the end of their pause. */
  const paused = new Map<Part, () => void>();
  const untold = new Set<Part>();
  let stopped = false;

  function tell(part: Part): void {
    untold.delete(part);
    post(part, make(part));
    paused.get(part)?.();
    paused.set(
      part,
      timers.after(EVERY_MS, () => over(part)),
    );
  }

  function over(part: Part): void {
    paused.delete(part);
    if (untold.has(part)) tell(part);
  }

  return {
    changed(part) {
      if (stopped) return;
      untold.add(part);
      // Later in this turn more may change, and what plays comes first.
      if (!paused.has(part))
        paused.set(
          part,
          timers.soon(() => over(part)),
        );
    },
    flush() {
      if (!stopped) for (const part of [...untold]) tell(part);
    },
    stop() {
      stopped = true;
      untold.clear();
      for (const cancel of paused.values()) cancel();
      paused.clear();
    },
  };
}
