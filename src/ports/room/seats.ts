import { MOST_SEATS } from '../../instrument/room.js';
import type { From } from '../../instrument/types.js';
import type { SeatPlan } from '../../pipeline.js';
import type { SeatMix } from '../../room/plan.js';
import { planSeat, type PlannedSeat } from '../connect.js';
import type { ReadySeat } from '../files/room.js';
import { mixOf, same, type RoomDifference, type SeatChanges } from './difference.js';
import type { RoomSources } from './sources.js';
import type { Service } from '../service.js';

/** Whoever else keeps account of who plays; called in the turn in which it happens. */
export interface SeatFollower {
  /** Just before a seat joins. */
  joins(slot: number, planned: PlannedSeat, mix: SeatMix): void;
  /** Just before a seat of the same name plays another instrument in its slot, or from elsewhere. */
  reseats(slot: number, planned: PlannedSeat, mix: SeatMix): void;
  /** Just after a seat has left: what it held has ended. Its readings have a source still. */
  left(slot: number): void;
  /** The slots in the order of the room file. */
  order(slots: readonly number[]): void;
}

export interface RoomSeatsOptions {
  readonly service: Pick<Service, 'swap' | 'change' | 'join' | 'leave' | 'lose' | 'seatAt'>;
  readonly sources: Pick<RoomSources, 'add' | 'remove' | 'refit'>;
  readonly follower?: SeatFollower;
}

/** The seats of a room, each in its slot for as long as it plays. */
export interface RoomSeats {
  /** By slot; null where nobody plays. */
  readonly all: readonly (ReadySeat | null)[];
  /**
   * Has the seats be as the files say now. Nothing changes where it throws.
   *
   * @param order all seats, in the order of the room file
   * @returns how each seat that stays and is different was changed
   * @throws what `planSeat` throws
   */
  change(by: RoomDifference, order: readonly ReadySeat[]): readonly SeatOutcome[];
}

/** What came of a change of a seat that stays. */
export interface SeatOutcome extends SeatChanges {
  /** It began again, in its own slot: its pads, its kind or its wire are others. */
  readonly began: boolean;
  /** Its readings come from elsewhere now. */
  readonly moved: boolean;
}

/** @param seats in the order of the room file, in the slots from 0 on */
export function roomSeats(
  seats: readonly ReadySeat[],
  { service, sources, follower }: RoomSeatsOptions,
): RoomSeats {
  const slots: (ReadySeat | null)[] = [...seats];
  const slotOf = (name: string): number => slots.findIndex((one) => one?.seat.name === name);

  /** The lowest: a lesson of many changes has no more slots than it has seats at once. */
  function freeSlot(): number {
    const free = slots.findIndex((one) => one === null);
    return free < 0 ? slots.length : free;
  }

  function leave(slot: number): void {
    service.leave(slot);
    follower?.left(slot);
    sources.remove(slot);
    slots[slot] = null;
  }

  function join(planned: PlannedSeat): void {
    const slot = freeSlot();
    // The schema of room files sees to it.
    if (slot >= MOST_SEATS) return;
    const { ready, plan } = planned;
    const mix = mixOf(ready);
    slots[slot] = ready;
    follower?.joins(slot, planned, mix);
    service.join(slot, { name: ready.seat.name, plan }, mix);
    sources.add(slot, planned);
  }

  function change({ changes, planned, began, moved, refits, calibrated }: Planned): void {
    const { now, swap, mix } = changes;
    const slot = slotOf(now.seat.name);
    const playing = service.seatAt(slot);
    slots[slot] = now;
    if (!playing) return;
    // Before all else, so that nothing of the old board comes after it.
    if (moved) sources.remove(slot);
    if (began) {
      // What a person has chosen meanwhile stays.
      const rules = swap.rules ?? playing.plan.rules;
      const own = { ...planned, plan: { ...planned.plan, rules } };
      const after = { ...playing.mix, ...mix };
      follower?.reseats(slot, own, after);
      service.join(slot, { name: now.seat.name, plan: own.plan }, after);
    } else {
      if (moved) {
        follower?.reseats(slot, { ...planned, plan: playing.plan }, playing.mix);
        service.lose(slot);
      }
      if (Object.keys(swap).length > 0) service.swap(slot, swap);
      if (Object.keys(mix).length > 0) service.change({ type: 'seat-change', seat: slot, ...mix });
    }
    if (moved) sources.add(slot, planned);
    else if (refits) sources.refit(slot, planned, calibrated);
  }

  return {
    all: slots,
    change(by, order) {
      const joining = by.joined.map(planSeat);
      const changing = by.changed.map(plannedChange);
      for (const name of by.left) leave(slotOf(name));
      for (const one of changing) change(one);
      for (const one of joining) join(one);
      // Whatever else a file says of them, such as the rules that they may switch to.
      for (const ready of order) slots[slotOf(ready.seat.name)] = ready;
      follower?.order(order.map(({ seat }) => slotOf(seat.name)));
      return changing.map(({ changes, began, moved }) => ({ ...changes, began, moved }));
    },
  };
}

interface Planned {
  readonly changes: SeatChanges;
  readonly planned: PlannedSeat;
  readonly began: boolean;
  readonly moved: boolean;
  /** What is expected of its board is different. */
  readonly refits: boolean;
  /** Nothing of what it has learned about its pads is. */
  readonly calibrated: boolean;
}

function plannedChange(changes: SeatChanges): Planned {
  const { before, now } = changes;
  const planned = planSeat(now);
  const began = !same(shapeOf(planSeat(before).plan), shapeOf(planned.plan));
  const { from } = now.seat;
  const moved =
    !same(before.seat.from, from) || (isMadeUp(from) && !same(before.instrument, now.instrument));
  const unit = ({ instrument, build }: ReadySeat) => [instrument, build];
  const calibrated = !began && same(unit(before), unit(now));
  const refits = !calibrated || before.seat.steady !== now.seat.steady;
  return { changes, planned, began, moved, refits, calibrated };
}

/** What a swap cannot carry: where it is different, the seat begins again. */
function shapeOf({ instrument, pads, made, gesture }: SeatPlan): unknown {
  const strings = instrument.kind === 'strings' ? instrument.strings.length : 1;
  const { pads: count, full, decided, build } = pads;
  const inputs = build?.wiring.length ?? count;
  return { kind: instrument.kind, strings, count, inputs, full, decided, made, gesture };
}

/** Its readings are made up for the instrument. */
function isMadeUp(from: From): boolean {
  return 'player' in from;
}
