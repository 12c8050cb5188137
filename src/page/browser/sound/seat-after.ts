import type { Joined, Left, SeatSound, VoiceEvent } from '../../../room/voice.js';

/**
 * Has a list of seats by slot, null where nobody plays, follow one that joins or leaves.
 *
 * @returns whether the event was one of a seat that does
 */
export function seatAfter(seats: (SeatSound | null)[], event: VoiceEvent): event is Joined | Left {
  if (event.type !== 'joined' && event.type !== 'left') return false;
  for (let slot = seats.length; slot < event.seat; slot++) seats[slot] = null;
  seats[event.seat] = event.type === 'joined' ? event.sound : null;
  return true;
}
