import type { PageSeat } from '../../link/state.js';
import type { Connection } from '../connection.js';

/** The seat with an id; undefined: it has left the room. */
export function seatById({ state }: Connection, id: number): PageSeat | undefined {
  return state.seats.value?.find((seat) => seat.id === id);
}
