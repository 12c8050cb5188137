import type { Subscription } from 'rxjs';
import { isOnPage } from '../instrument/room-from.js';
import { planSeat, type PlannedSeat } from '../ports/connect.js';
import type { OpenSeat } from '../ports/files/seat.js';
import { liveClock } from '../ports/live-clock.js';
import { openSources, type UnitOptions } from '../ports/room/sources.js';
import type { Seated } from '../time/alongside.js';
import type { Micros } from '../time/micros.js';
import type { WireEvent } from '../wire/scan.js';
import { EXIT, Failure, type Call } from './cli.js';
import { SIGNALS } from './stopping.js';

/** Listens to one seat's readings without playing them. */
export interface Listening {
  /** Resolves when the source ended, `stop` was called, or the person pressed Ctrl-C. */
  readonly ended: Promise<void>;
  stop(): void;
}

/**
 * Opens a seat's source and hands on what it brings, with times from the first event on.
 *
 * @param longest ends by itself after this long; NEVER for until it is stopped
 * @throws Failure where the seat is played on the page, which is not served here
 */
export function listen(
  { ready, others, folder }: OpenSeat,
  call: Call,
  longest: Micros,
  heard: (event: WireEvent) => void,
): Listening {
  const { from, name } = ready.seat;
  if (isOnPage(from)) {
    throw new Failure(
      `${name} is played by a finger or the mouse on the page: do this there, while the room plays`,
    );
  }
  const units = { folder, absent: others };
  return listenAll([planSeat(ready)], units, call, longest, ({ event }) => {
    heard(event);
  });
}

/** The same for several seats at once. */
export function listenAll(
  seats: readonly PlannedSeat[],
  units: UnitOptions,
  call: Call,
  longest: Micros,
  heard: (event: Seated<WireEvent>) => void,
): Listening {
  const sources = openSources(seats, liveClock(), call.tell, units);
  let asked = false;
  let settle: () => void = () => undefined;
  const stopped = new Promise<void>((resolve) => (settle = resolve));
  const stop = (): void => {
    settle();
  };
  const signalled = (): void => {
    if (asked) process.exit(EXIT.failed);
    asked = true;
    settle();
  };
  // A socket keeps Node running, but a player or a MIDI port does not.
  const alive = setInterval(() => undefined, 60_000);
  const timer = longest === Infinity ? undefined : setTimeout(settle, longest / 1_000);
  for (const signal of SIGNALS) process.on(signal, signalled);

  let first: Micros | null = null;
  const subscription: Subscription = sources.events.subscribe({
    next: ({ t: now, seat, event }) => {
      first ??= now;
      const t = now - first;
      heard({ type: 'seated', t, seat, event: { ...event, t } });
    },
    complete: settle,
  });
  const ended = stopped.then(async () => {
    subscription.unsubscribe();
    clearInterval(alive);
    clearTimeout(timer);
    for (const signal of SIGNALS) process.off(signal, signalled);
    await sources.close();
  });
  return { ended, stop };
}
