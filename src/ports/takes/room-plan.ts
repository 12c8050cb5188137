import { nearest } from '../../instrument/near.js';
import type { OpenTake, Take } from '../../takes/read.js';
import { isRoomTake } from '../../takes/room-header.js';
import { openRoomTake, type RoomTake } from '../../takes/room-take.js';
import { planRoomTakeBy, type PlannedRoomTake } from '../../takes/room-take-plan.js';
import { TakeFileFault } from '../files/fault.js';
import { planTake } from './plan.js';
import { ASKS_NOBODY, trusting, type Trust } from './trust.js';

export type { PlannedRoomTake } from '../../takes/room-take-plan.js';

/**
 * How a room's take is to be played: what its header carries, unless other rules are asked for.
 *
 * @param path of the take, for messages
 * @param rules for all seats, instead of their own
 * @param trust whether modules that the take carries may run
 * @throws FileFault or TakeFileFault where something is missing, wrong, or does not fit
 */
export async function planRoomTake(
  path: string,
  opened: OpenTake,
  folder: string,
  rules?: string,
  trust: Trust = ASKS_NOBODY,
): Promise<PlannedRoomTake> {
  const take = openRoomTake(opened, path);
  const trusted: RoomTake = {
    ...take,
    events: (report) => trusting(take.events(report), trust, path),
  };
  return planRoomTakeBy(
    trusted,
    (header, name) => planTake(`${path}, seat ${name}`, header, folder, { rules }, trust),
    rules !== undefined,
  );
}

/** What a person is told where one seat of a room's take must be chosen. */
export interface Choosing {
  /** What chooses it, such as `--seat`. */
  readonly by: string;
}

/**
 * One seat's part of a take: that of the seat that is asked for, or all of it where it is of one seat
 * only.
 *
 * @param path of the take, for messages
 * @throws FileFault or TakeFileFault where it has several seats and none is asked for, or not that one
 */
export function seatOfTake(
  path: string,
  take: OpenTake,
  seat: string | undefined,
  { by }: Choosing,
): Take {
  if (!isRoomTake(take.header)) {
    if (seat === undefined || seat === take.header.seat) return take;
    const own = typeof take.header.seat === 'string' ? ` (${take.header.seat})` : '';
    throw new TakeFileFault(`${path}: the take is of one seat only${own}; leave ${by} out`);
  }
  const room = openRoomTake(take, path);
  const names = room.header.room.seats.map(({ name }) => name);
  if (seat === undefined && names.length === 1) return room.seat(0);
  const list = names.join(', ');
  if (seat === undefined) {
    throw new TakeFileFault(
      `${path}: the take is of a whole room; choose a seat with ${by}: ${list}`,
    );
  }
  const index = names.indexOf(seat);
  if (index >= 0) return room.seat(index);
  const near = nearest(seat, names);
  throw new TakeFileFault(
    `${path}: the take does not begin with a seat "${seat}"; ${near === undefined ? `it begins with: ${list}. One that joined later has a take of its own, recorded beside it` : `did you mean "${near}"?`}`,
  );
}
