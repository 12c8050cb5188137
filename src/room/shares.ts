import type { Rules } from '../instrument/types.js';
import { yields, type Contender } from './priority.js';

/** The note that gives its place to another: whose, and which of theirs. */
export interface Loser {
  readonly seat: number;
  readonly index: number;
}

/**
 * Which note ends so that a new one of `seat` may begin in a room that is full; null: the seat has
 * its fair share already, so one of its own yields.
 *
 * The fair share is the room's limit through the seats that sound or want to. A seat below it takes
 * from the seat that has the most, which gives up what its own rules would; of several that have as
 * many, the one gives whose note is the oldest. So no seat is kept out, and a seat that always has
 * more to play is never a whole voice away from its share.
 *
 * @param sounding what sounds, by seat
 * @param keep by seat, what stays when there is too much
 * @param limit how many notes the room may have, 1 or more
 */
export function makesRoom(
  sounding: readonly (readonly Contender[])[],
  keep: (seat: number) => Rules['voices']['keep'],
  limit: number,
  seat: number,
): Loser | null {
  const own = sounding[seat]!.length;
  let active = own === 0 ? 1 : 0;
  for (const one of sounding) if (one.length > 0) active++;
  if (own >= limit / active) return null;
  return fromTheMost(sounding, keep);
}

/** Which note ends when the room has one too many, whoever asks: one of the seat with the most. */
export function fromTheMost(
  sounding: readonly (readonly Contender[])[],
  keep: (seat: number) => Rules['voices']['keep'],
): Loser | null {
  let most = 1;
  for (const one of sounding) if (one.length > most) most = one.length;
  let loser: Loser | null = null;
  let oldest = Infinity;
  for (const [seat, one] of sounding.entries()) {
    if (one.length !== most) continue;
    const index = yields(one, keep(seat));
    if (one[index]!.order >= oldest) continue;
    oldest = one[index]!.order;
    loser = { seat, index };
  }
  return loser;
}
