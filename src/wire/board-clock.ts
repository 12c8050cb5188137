import { MILLISECOND, type Micros } from '../time/micros.js';

/**
 * Where the mapping from a board's time to the host's stands.
 *
 * A board knows exactly when it read its pads, the host only when the message came, and that is
 * never too early and by chance more or less late. So the smallest `arrival − board time` seen of
 * late is taken as the distance between the two clocks, and the board's time plus it is when the
 * reading was made (with the shortest way counted in). It is forgotten by halves of a window, so
 * that a drift between the clocks is followed: one of D parts in a million can date a reading too
 * early by at most D · 2 · `HALF` (50 µs at 100, 2.5 ms at 5000, a ceramic resonator's).
 */
export interface BoardClock {
  /** The last reading's time: on the host's clock; never falling, never later than its arrival. */
  readonly t: Micros;
  /** The board's last time, with all its wraps. */
  readonly board: number;
  /** The last arrival. */
  readonly arrival: Micros;
  /** The smallest distance in this half of the window, and in the one before. */
  readonly least: number;
  readonly leastBefore: number;
  /** When this half began. */
  readonly since: Micros;
  /** How often the board's time fell, as it does when the board begins again. */
  readonly restarts: number;
}

/** Half the time in which the smallest distance is looked for. */
export const HALF: Micros = 250 * MILLISECOND;

/**
 * The time of one more reading.
 *
 * @param clock null for the first
 * @param ticks the board's time in microseconds, from 0 to one less than `wrap`
 * @param wrap the board's time begins at 0 again after so many microseconds; pauses of more than
 *   half of that are understood by the time that the host saw pass
 * @param arrival when it came, on the host's clock; taken as never falling
 */
export function mapBoardTime(
  clock: BoardClock | null,
  ticks: number,
  wrap: number,
  arrival: Micros,
): BoardClock {
  if (!clock) return begin(ticks, arrival, arrival, 0);
  const now = Math.max(arrival, clock.arrival);
  const expected = clock.board + (now - clock.arrival);
  const board = ticks + wrap * Math.round((expected - ticks) / wrap);
  if (board < clock.board) return begin(ticks, now, now, clock.restarts + 1);

  const distance = now - board;
  const age = now - clock.since;
  const turns = age >= HALF;
  const least = turns ? distance : Math.min(clock.least, distance);
  const leastBefore = !turns ? clock.leastBefore : age < 2 * HALF ? clock.least : Infinity;
  return {
    // Cannot fall: `board` does not, and a distance that is smaller than all others gives `now`.
    t: board + Math.min(least, leastBefore),
    board,
    arrival: now,
    least,
    leastBefore,
    since: turns ? now : clock.since,
    restarts: clock.restarts,
  };
}

function begin(board: number, arrival: Micros, t: Micros, restarts: number): BoardClock {
  const least = arrival - board;
  return { t, board, arrival, least, leastBefore: Infinity, since: arrival, restarts };
}
