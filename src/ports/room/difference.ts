import { isDeepStrictEqual } from 'node:util';
import type { OscMessages, Room, To } from '../../instrument/types.js';
import type { Wish } from '../../room/change.js';
import type { SeatMix } from '../../room/plan.js';
import type { Swap } from '../../wire/scan.js';
import type { ReadySeat, WholeRoom } from '../files/room.js';
import { roomPlan } from './plan.js';

/** What a seat that plays on is to be from now on. */
export interface SeatChanges {
  readonly before: ReadySeat;
  readonly now: ReadySeat;
  /** What it is to play by. */
  readonly swap: Omit<Swap, 'type' | 't'>;
  /** What the file changed of its mix: what a person has set meanwhile stays. */
  readonly mix: Partial<SeatMix>;
}

/** What it takes to make a playing room what its files say now. A seat is known by its name. */
export interface RoomDifference {
  /** The names of those that leave. */
  readonly left: readonly string[];
  readonly joined: readonly ReadySeat[];
  /** Those that stay, and of which something is different. */
  readonly changed: readonly SeatChanges[];
  /** Those that stay are in another order. */
  readonly order: boolean;
  /** What is different of what the room shares. */
  readonly room: Omit<Extract<Wish, { type: 'room-change' }>, 'type'>;
  readonly engines: {
    readonly closed: readonly To<OscMessages>[];
    readonly opened: readonly To<OscMessages>[];
  };
  /** Where it is changed over OSC from now on; undefined: as before. */
  readonly control: Room['control'] | undefined;
}

export const same = isDeepStrictEqual;

/** What differs between a room as it plays and as its files say it is now. */
export function difference(old: WholeRoom, now: WholeRoom): RoomDifference {
  const before = new Map(old.seats.map((one) => [one.seat.name, one]));
  const names = ({ seats }: WholeRoom): string[] => seats.map(({ seat }) => seat.name);
  const after = new Set(names(now));
  const shared = (room: WholeRoom): string[] =>
    names(room).filter((name) => before.has(name) && after.has(name));
  const plans = [old, now].map(({ room }) => roomPlan(room, []));
  const pick = ({ scale, duck, voices }: ReturnType<typeof roomPlan>) => ({ scale, duck, voices });
  return {
    left: names(old).filter((name) => !after.has(name)),
    joined: now.seats.filter(({ seat }) => !before.has(seat.name)),
    changed: now.seats.flatMap((one) => {
      const was = before.get(one.seat.name);
      const changes = was && seatChanges(was, one);
      return changes ? [changes] : [];
    }),
    order: !same(shared(old), shared(now)),
    room: changesOf(pick(plans[0]!), pick(plans[1]!)),
    engines: {
      closed: without(old.room.to, now.room.to),
      opened: without(now.room.to, old.room.to),
    },
    control: same(old.room.control, now.room.control) ? undefined : now.room.control,
  };
}

function seatChanges(before: ReadySeat, now: ReadySeat): SeatChanges | null {
  // What else there is of a seat, such as the rules that it may switch to, is looked up when it is needed.
  const swap = {
    ...(same(before.rules, now.rules) ? {} : { rules: now.rules }),
    ...(same(before.instrument, now.instrument) ? {} : { instrument: now.instrument }),
    ...(same(before.build, now.build) ? {} : { build: now.build }),
  };
  const mix = changesOf(mixOf(before), mixOf(now));
  const others = ({ seat: { from, switch: set, steady } }: ReadySeat) => ({ from, set, steady });
  const nothing = Object.keys(swap).length + Object.keys(mix).length === 0;
  return nothing && same(others(before), others(now)) ? null : { before, now, swap, mix };
}

/** How the room file has a seat sound among the others. */
export function mixOf(seat: ReadySeat): SeatMix {
  return roomPlan({ voices: 1, scale: null, duck: 0 }, [seat]).mixes[0]!;
}

function changesOf<Value extends object>(before: Value, after: Value): Partial<Value> {
  const keys = (Object.keys(after) as (keyof Value)[]).filter(
    (key) => !same(before[key], after[key]),
  );
  return Object.fromEntries(keys.map((key) => [key, after[key]])) as Partial<Value>;
}

/** What is in one list and not in the other; of several that are alike, as many as there are more. */
function without<Value>(all: readonly Value[], others: readonly Value[]): Value[] {
  const left = [...others];
  return all.filter((one) => {
    const index = left.findIndex((other) => same(one, other));
    if (index >= 0) left.splice(index, 1);
    return index < 0;
  });
}
