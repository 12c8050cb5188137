import { Observable } from 'rxjs';
import type { Seated } from '../time/alongside.js';
import type { WireEvent } from '../wire/scan.js';
import type { Source } from './contracts.js';
import { nodeTimers, type LiveClock, type Timers } from './live-clock.js';

/**
 * Plays recorded or made-up readings at the pace at which they were made, as a board would send
 * them. Each keeps its own time (moved to when the playing began), so it does not matter that plain
 * timers, which leave the processor alone, are a millisecond late. Begins when it is listened to and
 * completes after the last event.
 */
export function takePlayer(
  seat: number,
  events: Iterable<WireEvent>,
  clock: LiveClock,
  timers: Timers = nodeTimers,
): Source {
  let close: () => void = () => undefined;
  const playing = new Observable<Seated<WireEvent>>((listener) => {
    const rest = events[Symbol.iterator]();
    const start = clock.stamp();
    let upcoming = rest.next();
    let cancel: () => void = () => undefined;

    function playDue(): void {
      while (!upcoming.done && !listener.closed) {
        const event = upcoming.value;
        const wait = start + event.t - clock.now();
        if (wait > 0) {
          cancel = timers.after(Math.ceil(wait / 1_000), playDue);
          return;
        }
        const t = clock.stamp(start + event.t);
        listener.next({ type: 'seated', t, seat, event: { ...event, t } });
        upcoming = rest.next();
      }
      listener.complete();
    }

    close = () => {
      cancel();
      listener.complete();
    };
    // Not within the call that listens: whoever joins several sources listens to all of them first.
    cancel = timers.soon(playDue);
    return () => {
      cancel();
    };
  });
  return {
    events: playing,
    close: () => {
      close();
      return Promise.resolve();
    },
  };
}
