import type { Rules } from '../instrument/types.js';

/** What the room needs to know of a seat. */
export interface RoomSeat {
  readonly voices: Rules['voices'];
  /** It plays percussion keys, which are no pitches. */
  readonly drums: boolean;
}
