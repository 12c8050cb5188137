import type { Rules } from '../instrument/types.js';
import { yields, type Contender } from './priority.js';

/** The note that gives its place to another: whose, and which of theirs. */
export interface Loser {
  readonly seat: number;
  readonly index: number;
}

type Keep = (seat: number) => Rules['voices']['keep'];

/**
 * Which note ends so that a new one of `seat` may begin in a room that is full; null: no other seat
 * has more than this one, so one of its own yields.
 *
 * A seat that has less than the most takes from the seat that has it. So the room's limit is shared
 * as evenly as what people play allows: who wants less than an equal share gets all of it, and of
 * those who always want more none is a whole voice away from its share. Nobody is kept out.
 *
 * @param sounding what sounds, by seat
 * @param keep by seat, what stays when there is too much
 */
export function makesRoom(
  sounding: readonly (readonly Contender[])[],
  keep: Keep,
  seat: number,
): Loser | null {
  const own = sounding[seat]!.length;
  return sounding.some(({ length }) => length > own) ? fromTheMost(sounding, keep) : null;
}

/**
 * Which note ends when the room has one too many: one of the seat with the most, by its own rules.
 * Of several that have as many, the one gives whose note is the oldest. null: nothing sounds.
 */
export function fromTheMost(sounding: readonly (readonly Contender[])[], keep: Keep): Loser | null {
  let most = 1;
  for (const { length } of sounding) if (length > most) most = length;
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
