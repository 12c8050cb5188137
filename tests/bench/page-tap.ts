import { seatMemory } from '../../src/page/link/memory.js';
import { pageTap } from '../../src/page/host/tap.js';
import { way, type SeatPlan, type Watch } from '../../src/pipeline.js';
import { plainRoom } from '../../src/room/plan.js';
import type { Seated } from '../../src/time/alongside.js';
import { busyTake } from '../support/busy-take.js';
import { eventsIn } from '../support/takes.js';
import { bassPlan } from '../support/bass.js';
import type { WireEvent } from '../../src/wire/scan.js';

/** How long the way takes for one scan of 20 pads, in µs: alone, with nobody looking, and watched. */
export interface TapCost {
  readonly bare: number;
  readonly idle: number;
  readonly looking: number;
}

const ROUNDS = 60;

/**
 * Plays one busy take through the way again and again, in turn without a page, with one that nobody
 * looks at, and with one that is looked at. The best round of each: what else the machine does only
 * makes a round longer.
 */
export async function pageTapCost(): Promise<TapCost> {
  const plan: SeatPlan = bassPlan();
  const events = (await eventsIn(busyTake(20))).map((event): Seated<WireEvent> => ({
    type: 'seated',
    t: event.t,
    seat: 0,
    event,
  }));
  const tap = pageTap();
  tap.join(0, seatMemory({ slice: 0, pads: 20, strings: 4 }));
  const look = (on: boolean) => (): ((seat: number) => Watch) => {
    tap.look(on);
    return tap.watchOf;
  };
  const kinds = [() => undefined, look(false), look(true)];
  const best = kinds.map(() => Infinity);
  for (let round = 0; round < ROUNDS; round++) {
    for (const [kind, watch] of kinds.entries()) {
      const own = watch();
      const stage = way([plan], plainRoom(1), () => undefined, undefined, own);
      let state: unknown = stage.begin();
      const begun = performance.now();
      for (const event of events) {
        const outcome = stage.step(state, event);
        state = outcome.state;
        if (own) for (const voice of outcome.out) tap.voice(voice);
      }
      best[kind] = Math.min(best[kind]!, performance.now() - begun);
    }
  }
  const [bare, idle, looking] = best.map((ms) => (ms * 1_000) / events.length);
  return { bare: bare!, idle: idle!, looking: looking! };
}
