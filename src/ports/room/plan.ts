import type { Room } from '../../instrument/types.js';
import type { RoomPlan } from '../../room/plan.js';
import type { ReadySeat } from '../files/room.js';

/** How the seats share the speaker, as the room file has it. */
export function roomPlan(
  { voices, scale, duck }: Pick<Room, 'voices' | 'scale' | 'duck'>,
  seats: readonly ReadySeat[],
): RoomPlan {
  const mixes = seats.map(({ seat, instrument }) => {
    const { level, pan, mute, solo, lead } = seat;
    return { level, pan, mute, solo, lead, sound: seat.sound ?? instrument.sound };
  });
  return { mixes, voices, scale, duck };
}
