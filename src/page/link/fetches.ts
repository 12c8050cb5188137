import type { SeatSound } from '../../engine/seat-sound.js';
import type { SeatPlan } from '../../pipeline.js';
import type { RoomPlan } from '../../room/plan.js';

/*
 * What a page may fetch beside itself, all with GET and from where it came from. NAME is one part of the
 * path, as `encodeURIComponent` writes it.
 *
 *   /takes                  PageTake[], as in the state
 *   /takes/NAME             the lines of a take that is in that list, unpacked
 *   /plans/NAME             FetchedPlan: all it takes to run the take again; with ?rules=RULES,
 *                           ?instrument=… or ?build=… those are taken instead of what it carries
 *                           (of a whole room: rules only, for all seats)
 *   /rules, /instruments, /builds                        names: string[]
 *   /rules/NAME.json        Rules
 *   /instruments/NAME.json  Instrument
 *   /builds/NAME.json       Build
 *
 * What cannot be had is answered by FetchFault, with status 400 (asked wrongly), 401 (the key is wrong),
 * 404 (not there) or 422 (something is wrong in the file).
 */

/** Why something could not be had. */
export interface FetchFault {
  readonly what: string;
  /** What to do next. */
  readonly next: string;
}

/** A seat of a take. Its rules' own logic, if they name some, has no code: the built-in logic plays. */
export interface FetchedSeat extends Omit<SeatPlan, 'logic' | 'gesture'> {
  readonly name: string;
}

/** All it takes to run a take again. */
export interface FetchedPlan {
  /** One, unless the take is of a whole room. */
  readonly seats: readonly FetchedSeat[];
  /** What the room's own engine would be told of each seat. */
  readonly sounds: readonly SeatSound[];
  /** null: the take is of one seat, in a room that holds nothing back (`plainRoom`). */
  readonly room: RoomPlan | null;
}
