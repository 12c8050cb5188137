import { Observable } from 'rxjs';
import type { Seated } from '../time/alongside.js';
import type { Clock } from '../time/clock.js';
import type { WireEvent } from '../wire/scan.js';
import type { Source } from './contracts.js';

/**
 * Plays recorded or made-up readings at the pace at which they were made, as a board would send
 * them. Each keeps its own time (moved to when the playing began), so it does not matter how late a
 * timer is. Begins when it is listened to and completes after the last event.
 */
export function takePlayer(seat: number, events: Iterable<WireEvent>, clock: Clock): Source {
  let close: () => void = () => undefined;
  const playing = new Observable<Seated<WireEvent>>((listener) => {
    const rest = events[Symbol.iterator]();
    const start = clock.stamp();
    let cancel: () => void = () => undefined;

    function next(): void {
      const step = rest.next();
      if (step.done) {
        listener.complete();
        return;
      }
      const event = step.value;
      const at = start + event.t;
      cancel = clock.alarm(at, () => {
        const t = clock.stamp(at);
        listener.next({ type: 'seated', t, seat, event: { ...event, t } });
        next();
      });
    }

    close = () => {
      cancel();
      listener.complete();
    };
    next();
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
