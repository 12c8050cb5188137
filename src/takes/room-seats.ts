import { foundWords } from '../instrument/words.js';
import type { RoomTakeSeat } from './room-header.js';

/** Whether an input of the take is the seat's. */
export function has({ first, inputs }: RoomTakeSeat, input: number): boolean {
  return input >= first && input < first + inputs;
}

/** Which inputs are whose, in words. */
export function rangesOf(seats: readonly RoomTakeSeat[]): string {
  const all = seats.map(
    ({ name, first, inputs }) => `${name} has ${String(first)} to ${String(first + inputs - 1)}`,
  );
  return all.length > 4 ? `${all.slice(0, 4).join(', ')}, …` : all.join(', ');
}

/** What is wrong with what stands where the name of a seat should, in words. */
export function whichSeat(given: unknown, seats: readonly RoomTakeSeat[]): string {
  const names = seats.map(({ name }) => name).join(', ');
  if (given === undefined)
    return `it does not say of which seat it is: add "seat", one of ${names}`;
  return `there is no seat ${foundWords(given)}; the seats are ${names}`;
}
