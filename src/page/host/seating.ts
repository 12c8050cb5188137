import type { PlannedSeat } from '../../ports/connect.js';
import { seatMemory } from '../link/memory.js';
import { HostSeat } from './seats.js';

/** Who has which slot now, and in which order the room file lists them. */
export class Seating {
  /** By slot. */
  readonly #slots = new Map<number, HostSeat>();
  #order: readonly number[] = [];
  #id = 0;
  #slice = 0;

  /**
   * A seat takes a slot; whoever had it before has left.
   *
   * @param from in a few words, where its readings come from
   */
  join(slot: number, planned: PlannedSeat, from: string): HostSeat {
    this.leave(slot);
    const seat = new HostSeat(planned, from, {
      id: this.#id++,
      slot,
      makeMemory: (size) => seatMemory({ slice: this.#slice++, ...size }),
    });
    this.#slots.set(slot, seat);
    return seat;
  }

  /** @returns who had the slot */
  leave(slot: number): HostSeat | undefined {
    const seat = this.#slots.get(slot);
    if (seat) seat.gone = true;
    this.#slots.delete(slot);
    return seat;
  }

  /** The slots in the order of the room file; those that it leaves out come last. */
  order(slots: readonly number[]): void {
    this.#order = slots;
  }

  at(slot: number): HostSeat | undefined {
    return this.#slots.get(slot);
  }

  byId(id: number): HostSeat | undefined {
    for (const seat of this.#slots.values()) if (seat.id === id) return seat;
    return undefined;
  }

  /** In the order of the room file. */
  get all(): HostSeat[] {
    const place = new Map(this.#order.map((slot, i) => [slot, i]));
    const of = ({ slot }: HostSeat): number => place.get(slot) ?? this.#order.length + slot;
    return [...this.#slots.values()].sort((a, b) => of(a) - of(b));
  }
}
