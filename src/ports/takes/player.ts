import { Observable } from 'rxjs';
import type { Batches } from '../../takes/read.js';
import type { Seated } from '../../time/alongside.js';
import type { Micros } from '../../time/micros.js';
import type { WireEvent } from '../../wire/scan.js';
import type { Source } from '../contracts.js';
import { nodeTimers, type LiveClock, type Timers } from '../live-clock.js';

/**
 * Plays recorded or made-up readings at the pace at which they were made, as a board would send
 * them. Each keeps its own time (moved to when the playing began), so it does not matter that plain
 * timers, which leave the processor alone, are a millisecond late. Begins when it is listened to and
 * completes after the last event.
 *
 * Of a take that is read meanwhile, the next batch is read while one is played, so that a slow disk
 * holds nothing up; where it is too slow all the same, the rest of the take comes that much later. Where
 * it cannot be read any further, a `lost` reset ends what is held.
 */
export function takePlayer(
  seat: number,
  events: Iterable<WireEvent> | Batches<WireEvent>,
  clock: LiveClock,
  timers: Timers = nodeTimers,
  { together = startTogether(clock), failed = () => undefined }: TakePlayerOptions = {},
): Source {
  const feed: Feed =
    Symbol.iterator in events ? atHand(events[Symbol.iterator]()) : readAhead(events, failed);
  if (feed.upcoming === 'later') together.wait(feed.ready());
  let close: () => void = () => undefined;
  const playing = new Observable<Seated<WireEvent>>((listener) => {
    let start = clock.stamp();
    /** Whether what comes next had to be waited for. */
    let late = false;
    let cancel: () => void = () => undefined;

    function playDue(): void {
      while (!listener.closed) {
        const event = feed.upcoming;
        if (event === 'end') break;
        if (event === 'later') {
          late = true;
          void feed.ready().then(playDue);
          return;
        }
        if (late) start = Math.max(start, clock.now() - event.t);
        late = false;
        const wait = start + event.t - clock.now();
        if (wait > 0) {
          cancel = timers.after(Math.min(Math.ceil(wait / 1_000), LONGEST_WAIT), playDue);
          return;
        }
        const t = clock.stamp(start + event.t);
        listener.next({ type: 'seated', t, seat, event: { ...event, t } });
        feed.next();
      }
      if (feed.lost && !listener.closed) {
        const t = clock.stamp();
        listener.next({ type: 'seated', t, seat, event: { type: 'reset', t, why: 'lost' } });
      }
      listener.complete();
    }

    close = () => {
      cancel();
      feed.close();
      listener.complete();
    };
    // Not within the call that listens: whoever joins several sources listens to all of them first.
    if (feed.upcoming !== 'later') cancel = timers.soon(playDue);
    else {
      void together.begin().then((t) => {
        start = t;
        playDue();
      });
    }
    return () => {
      cancel();
      feed.close();
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

export interface TakePlayerOptions {
  /** What begins together with others; left out: it begins by itself. */
  readonly together?: Together;
  /** Told why the take cannot be read any further. */
  readonly failed?: (error: unknown) => void;
}

/** Has several takes begin at one time, once the first of each of them was read. */
export interface Together {
  wait(ready: Promise<void>): void;
  /** Resolves with the time at which all of them begin. */
  begin(): Promise<Micros>;
}

export function startTogether(clock: LiveClock): Together {
  const waiting: Promise<void>[] = [];
  let begun: Promise<Micros> | null = null;
  return {
    wait: (ready) => void waiting.push(ready),
    begin: () => (begun ??= Promise.all(waiting).then(() => clock.stamp())),
  };
}

/** A timer of Node counts no further, in milliseconds. */
const LONGEST_WAIT = 2_000_000_000;

/** Events one after the other. */
interface Feed {
  /** `later`: it is still to come from the disk. */
  readonly upcoming: WireEvent | 'later' | 'end';
  /** Whether it ended since it could not be read any further. */
  readonly lost: boolean;
  next(): void;
  /** Resolves when `upcoming` is no longer `later`. */
  ready(): Promise<void>;
  close(): void;
}

function atHand(rest: Iterator<WireEvent>): Feed {
  const take = (): WireEvent | 'end' => {
    const { done, value } = rest.next();
    return done === true ? 'end' : value;
  };
  let upcoming = take();
  return {
    get upcoming() {
      return upcoming;
    },
    lost: false,
    next: () => void (upcoming = take()),
    ready: () => Promise.resolve(),
    close: () => undefined,
  };
}

function readAhead(events: Batches<WireEvent>, failed: (error: unknown) => void): Feed {
  const rest = events[Symbol.asyncIterator]();
  let batch: readonly WireEvent[] = [];
  let at = 0;
  let ahead: readonly WireEvent[] | 'later' | 'end' = 'later';
  let lost = false;
  let closed = false;
  let reading = read();

  async function read(): Promise<void> {
    ahead = 'later';
    try {
      const { done, value } = await rest.next();
      ahead = done === true ? 'end' : value;
    } catch (error) {
      ahead = 'end';
      lost = !closed;
      if (!closed) failed(error);
    }
  }

  /** Goes on to what was read meanwhile, if all of the batch has been played. */
  function turn(): void {
    while (at >= batch.length && typeof ahead !== 'string') {
      batch = ahead;
      at = 0;
      reading = read();
    }
  }

  return {
    get upcoming() {
      turn();
      return batch[at] ?? (ahead as 'later' | 'end');
    },
    get lost() {
      return lost;
    },
    next: () => void (at += 1),
    ready: () => reading,
    close: () => {
      if (closed) return;
      closed = true;
      void reading.then(() => rest.return?.()).catch(() => undefined);
    },
  };
}
