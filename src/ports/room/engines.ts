import type { Ceiling } from '../../instrument/ceiling.js';
import type { OscMessages, To } from '../../instrument/types.js';
import type { SeatSound } from '../../room/voice.js';
import { openEngine } from '../connect.js';
import type { Engine, Tell } from '../contracts.js';
import type { LiveClock } from '../live-clock.js';
import { same } from './difference.js';
import type { Service } from '../service.js';

type Built = To<OscMessages>;

export interface RoomEnginesOptions {
  readonly clock: LiveClock;
  readonly tell: Tell;
  /** Puts something around engines, all of the room's each time; the same around the same one. */
  readonly wrap?: (
    engines: readonly Engine[],
    ceilings: readonly (Ceiling | null)[],
  ) => readonly Engine[];
  readonly open?: typeof openEngine;
}

/** The engines of a room, which may change while it plays. */
export interface RoomEngines {
  readonly all: readonly Engine[];
  /** Closes some and opens others; those that stay play on. Closed are the old ones before the new are opened. */
  change(
    closed: readonly Built[],
    opened: readonly Built[],
    service: Pick<Service, 'sounds' | 'addEngine' | 'removeEngine'>,
  ): Promise<void>;
}

interface Open {
  readonly to: Built;
  readonly own: Engine;
  engine: Engine;
}

/**
 * Opens the engines of a room.
 *
 * @param seats by slot; null where nobody plays
 */
export function roomEngines(
  room: readonly Built[],
  seats: readonly (SeatSound | null)[],
  options: RoomEnginesOptions,
): RoomEngines {
  const { clock, tell, wrap = (all) => all, open: build = openEngine } = options;
  let all: readonly Open[] = [];

  function open(to: Built, sounds: readonly (SeatSound | null)[]): Open {
    const own = build(to, sounds, clock, tell);
    return { to, own, engine: own };
  }

  function keep(next: readonly Open[]): void {
    const wrapped = wrap(
      next.map(({ own }) => own),
      next.map(({ to }) => ('builtin' in to ? to.builtin.ceiling : null)),
    );
    for (const [i, one] of next.entries()) one.engine = wrapped[i]!;
    all = next;
  }

  keep(room.map((to) => open(to, seats)));
  return {
    get all() {
      return all.map(({ engine }) => engine);
    },
    async change(closed, opened, service) {
      if (closed.length + opened.length === 0) return;
      const going = new Set<Open>();
      for (const to of closed) {
        const one = all.find((other) => !going.has(other) && same(other.to, to));
        if (one) going.add(one);
      }
      await Promise.all([...going].map(({ engine }) => service.removeEngine(engine)));
      const fresh = opened.map((to) => open(to, service.sounds()));
      keep([...all.filter((one) => !going.has(one)), ...fresh]);
      for (const { engine } of fresh) service.addEngine(engine);
    },
  };
}
