import { isDeepStrictEqual } from 'node:util';
import type { Wish } from '../room/change.js';
import type { Swap } from '../wire/scan.js';
import type { ReadySeat, WholeRoom } from './files-room.js';
import { roomPlan } from './room-plan.js';

/** What a seat is to play by from now on. */
export interface SeatSwap {
  readonly seat: number;
  readonly swap: Omit<Swap, 'type' | 't'>;
}

/** What it takes to make a playing room what its files say now. */
export interface RoomDifference {
  readonly swaps: readonly SeatSwap[];
  readonly wishes: readonly Wish[];
  /** What only counts when the room is played anew, in words. */
  readonly later: readonly string[];
}

const same = isDeepStrictEqual;

/** What differs between a room as it plays and as its files say it is now. */
export function difference(old: WholeRoom, now: WholeRoom): RoomDifference {
  const later: string[] = [];
  const names = ({ seats }: WholeRoom): string[] => seats.map(({ seat }) => seat.name);
  if (!same(names(old), names(now))) {
    return { swaps: [], wishes: [], later: ['which seats there are'] };
  }
  if (!same(old.room.to, now.room.to)) later.push('where the notes go');
  if (!same(old.room.control, now.room.control)) later.push('the control port');
  const swaps = now.seats.flatMap((seat, i) => {
    const before = old.seats[i]!;
    if (!same(seat.seat.from, before.seat.from)) {
      later.push(`where the readings of ${seat.seat.name} come from`);
    }
    return swapOf(before, seat, i, later);
  });
  return { swaps, wishes: wishesOf(old, now), later };
}

function swapOf(old: ReadySeat, now: ReadySeat, seat: number, later: string[]): SeatSwap[] {
  if (old.instrument.kind !== now.instrument.kind) {
    later.push(`the kind of instrument of ${now.seat.name}`);
    return [];
  }
  const swap = {
    ...(same(old.rules, now.rules) ? {} : { rules: now.rules }),
    ...(same(old.instrument, now.instrument) ? {} : { instrument: now.instrument }),
    ...(same(old.build, now.build) ? {} : { build: now.build }),
  };
  return Object.keys(swap).length === 0 ? [] : [{ seat, swap }];
}

function wishesOf(old: WholeRoom, now: WholeRoom): Wish[] {
  const before = roomPlan(old.room, old.seats);
  const after = roomPlan(now.room, now.seats);
  const wishes: Wish[] = after.mixes.flatMap((mix, seat) => {
    const changed = changes(before.mixes[seat]!, mix);
    return changed ? [{ type: 'seat-change', seat, ...changed }] : [];
  });
  const room = changes(
    { scale: before.scale, duck: before.duck, voices: before.voices },
    { scale: after.scale, duck: after.duck, voices: after.voices },
  );
  return room ? [...wishes, { type: 'room-change', ...room }] : wishes;
}

/** Only what the file changed: what a person has set meanwhile stays. */
function changes<Value extends object>(before: Value, after: Value): Partial<Value> | null {
  const keys = Object.keys(after) as (keyof Value)[];
  const changed = keys.filter((key) => !same(before[key], after[key]));
  if (changed.length === 0) return null;
  return Object.fromEntries(changed.map((key) => [key, after[key]])) as Partial<Value>;
}
