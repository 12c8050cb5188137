import type { Clock } from '../../time/clock.js';
import type { Micros } from '../../time/micros.js';
import type { WireEvent } from '../../wire/scan.js';
import type { Timers } from '../live-clock.js';

/** How long what had piled up is gathered at most. */
const LONGEST_MS = 500;
/** It is over where nothing came in so many turns of the event loop. */
const CALM_TURNS = 3;

/** Takes in what had piled up while nobody listened, without playing it. */
export interface CatchUp {
  /** @param emit where the seat's events go */
  take(emit: (event: WireEvent) => void, event: WireEvent): void;
  end(): void;
}

/**
 * Gathers what comes until nothing more is waiting. In the end each seat gets one scan of what each
 * input read last, so that no touch of the meantime sounds, and none that is over seems to last.
 *
 * @param done called once, before those scans
 */
export function catchUp(clock: Clock, timers: Timers, done: () => void): CatchUp {
  const latest = new Map<(event: WireEvent) => void, Map<number, number>>();
  const until = timers.now() + LONGEST_MS;
  let count = 0;
  let seen = 0;
  let calm = 0;
  let cancel = timers.soon(turn);

  function turn(): void {
    calm = count === seen ? calm + 1 : 0;
    seen = count;
    if (calm >= CALM_TURNS || timers.now() >= until) end();
    else cancel = timers.soon(turn);
  }

  function end(): void {
    cancel();
    done();
    const t: Micros = clock.stamp();
    for (const [emit, raws] of latest) {
      emit({ type: 'scan', t, inputs: [...raws.keys()], raws: [...raws.values()] });
    }
    latest.clear();
  }

  return {
    end,
    take(emit, event) {
      count += 1;
      if (event.type === 'scan') {
        let raws = latest.get(emit);
        if (!raws) latest.set(emit, (raws = new Map()));
        for (const [i, input] of event.inputs.entries()) raws.set(input, event.raws[i]!);
        return;
      }
      if (event.type === 'reset') latest.delete(emit);
      // The beginning of a note is too late; its end is not.
      if (event.type !== 'played' || !event.on) emit({ ...event, t: clock.stamp() });
    },
  };
}
