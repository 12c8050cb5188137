import type { Rules } from '../instrument/types.js';
import type { SeatEvent } from '../playing/note.js';
import type { Seated } from '../time/alongside.js';
import { chain } from '../time/chain.js';
import type { AnyStage } from '../time/stage.js';
import type { Change } from './change.js';
import { duck } from './duck.js';
import type { RoomPlan } from './plan.js';
import { scaleLock } from './scale-lock.js';
import type { VoiceEvent } from './voice.js';
import { voices } from './voices.js';

/** What the room needs to know of a seat. */
export interface RoomSeat {
  readonly voices: Rules['voices'];
  /** It plays percussion keys, which are no pitches. */
  readonly drums: boolean;
}

/** The notes of all seats → what the engines are told: how the room shares one speaker. */
export function sharing(
  seats: readonly RoomSeat[],
  room: RoomPlan,
): AnyStage<Seated<SeatEvent> | Change, VoiceEvent> {
  const drums = seats.map((seat) => seat.drums);
  const limits = seats.map((seat) => seat.voices);
  return chain('room', scaleLock(drums, room.scale), voices(limits, room), duck(room));
}
