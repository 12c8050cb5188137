import type { SeatEvent } from '../playing/note.js';
import type { Seated } from '../time/alongside.js';
import { chain } from '../time/chain.js';
import type { AnyStage } from '../time/stage.js';
import type { Change } from './change.js';
import { duck } from './duck.js';
import type { RoomPlan } from './plan.js';
import type { RoomSeat } from './room-seat.js';
import { scaleLock } from './scale-lock.js';
import type { Leave, RoomJoin } from './seating.js';
import type { VoiceEvent } from './voice.js';
import { voices } from './voices.js';

export type { RoomSeat };

/** All that the room is given: what its seats play, what people change, and who joins and leaves. */
export type RoomInput = Seated<SeatEvent> | Change | RoomJoin | Leave;

/**
 * The notes of all seats → what the engines are told: how the room shares one speaker.
 *
 * @param seats by slot as it begins; null where nobody plays
 */
export function sharing(
  seats: readonly (RoomSeat | null)[],
  room: RoomPlan,
): AnyStage<RoomInput, VoiceEvent> {
  const drums = seats.map((seat) => seat?.drums ?? false);
  const limits = seats.map((seat) => seat?.voices ?? null);
  return chain('room', scaleLock(drums, room.scale), voices(limits, room), duck(room));
}
