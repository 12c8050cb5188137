import type { Connection } from '../connection.js';

interface SeatViewProps {
  readonly connection: Connection;
  /** Counted from 0 in the order of the room file. */
  readonly seat: number;
}

/** One seat: not there yet. */
export function SeatView({ connection, seat }: SeatViewProps) {
  return <p>{connection.state.seats.value?.[seat]?.name}</p>;
}
