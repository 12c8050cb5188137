import type { Timed } from '../time/events.js';
import type { Change } from './change.js';
import { changed, withSeat, type RoomPlan, type SeatMix } from './plan.js';
import type { RoomSeat } from './room-seat.js';
import type { SeatSound } from './voice.js';

/** A seat takes a slot that is free, and plays from now on. */
export interface RoomJoin extends Timed {
  readonly type: 'join';
  /** The slot: its number for as long as it plays. */
  readonly seat: number;
  readonly mix: SeatMix;
  readonly of: RoomSeat;
  readonly sound: SeatSound;
}

/** A seat gives its slot back. What it held has ended before. */
export interface Leave extends Timed {
  readonly type: 'leave';
  readonly seat: number;
}

/** The room after a change, or after a seat has joined or left. */
export function roomAfter(
  room: RoomPlan,
  event: Change | Pick<RoomJoin, 'type' | 'seat' | 'mix'> | Leave,
): RoomPlan {
  switch (event.type) {
    case 'join':
      return withSeat(room, event.seat, event.mix);
    case 'leave':
      return withSeat(room, event.seat, null);
    default:
      return changed(room, event);
  }
}
