import type { Link } from '../line.js';
import type { PageRoom, PageSeat } from '../../link/state.js';

/** What a person should know before all else of a seat; the words are in the texts under the same name. */
export type Moment = 'lost' | 'ended' | 'waiting' | 'silent' | 'pulled' | 'own' | Misfit | null;

type Misfit = NonNullable<PageSeat['misfit']>;

/** What matters most now: a room that has ended explains a lost connection, which hides what the unit does. */
export function momentOf(
  link: Link,
  room: Pick<PageRoom, 'playing'> | null,
  seat: Pick<PageSeat, 'plugged' | 'raw' | 'misfit'>,
): Moment {
  if (room && !room.playing) return 'ended';
  if (link === 'lost') return link;
  if (seat.plugged === 'waiting' || seat.plugged === 'silent') return seat.plugged;
  if (seat.plugged === 'lost') return 'pulled';
  if (!seat.raw) return 'own';
  return seat.misfit;
}
