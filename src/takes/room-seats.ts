import { foundWords } from '../instrument/words.js';
import type { RoomTakeSeat } from './room-header.js';

/** Whether an input of the take is the seat's. */
export function has({ first, inputs }: RoomTakeSeat, input: number): boolean {
  return input >= first && input < first + inputs;
}

/** Who plays, by slot, as a room's take is read or written: it begins with the seats of its header. */
export class TakeSeats {
  private readonly slots: (RoomTakeSeat | null)[];

  constructor(seats: readonly RoomTakeSeat[]) {
    this.slots = [...seats];
  }

  get all(): readonly RoomTakeSeat[] {
    return this.slots.filter((seat) => seat !== null);
  }

  at(slot: number): RoomTakeSeat | null {
    return this.slots[slot] ?? null;
  }

  /** −1: nobody of that name plays. */
  slotOf(name: unknown): number {
    return this.slots.findIndex((seat) => seat?.name === name);
  }

  /** Whose input it is; −1: nobody's. */
  slotWith(input: number): number {
    return this.slots.findIndex((seat) => seat !== null && has(seat, input));
  }

  /** Who has some of the same inputs. */
  overlapping({ first, inputs }: Pick<RoomTakeSeat, 'first' | 'inputs'>): RoomTakeSeat | undefined {
    return this.all.find((seat) => first < seat.first + seat.inputs && seat.first < first + inputs);
  }

  /** The first of so many inputs that are nobody's. */
  room(inputs: number): number {
    let first = 0;
    for (let other = this.overlapping({ first, inputs }); other;) {
      first = other.first + other.inputs;
      other = this.overlapping({ first, inputs });
    }
    return first;
  }

  join(slot: number, seat: RoomTakeSeat): void {
    while (this.slots.length < slot) this.slots.push(null);
    this.slots[slot] = seat;
  }

  leave(slot: number): void {
    this.slots[slot] = null;
  }

  /** Which inputs are whose, in words. */
  ranges(): string {
    const all = this.all.map(
      ({ name, first, inputs }) => `${name} has ${String(first)} to ${String(first + inputs - 1)}`,
    );
    return all.length > 4 ? `${all.slice(0, 4).join(', ')}, …` : all.join(', ');
  }

  /** What is wrong with what stands where the name of a seat should, in words. */
  which(given: unknown): string {
    const names = this.all.map(({ name }) => name).join(', ');
    if (given === undefined)
      return `it does not say of which seat it is: add "seat", one of ${names}`;
    return `there is no seat ${foundWords(given)}; the seats are ${names}`;
  }
}
