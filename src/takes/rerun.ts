import type { Observable } from 'rxjs';
import type { SeatPlan } from '../pipeline.js';
import { plainRoom } from '../room/plan.js';
import type { VoiceEvent } from '../room/voice.js';
import type { OnFault, Seated } from '../time/alongside.js';
import type { WireEvent } from '../wire/scan.js';
import { rerunRoom } from './room-rerun.js';

/**
 * Runs the readings of one seat again, as `rerunRoom` does, in a room that holds nothing back.
 *
 * @param events of one seat, in the order of time
 */
export function rerun(
  events: Iterable<WireEvent>,
  seat: SeatPlan,
  onFault: OnFault,
): Observable<VoiceEvent> {
  return rerunRoom(seated(events), [seat], plainRoom(1), onFault);
}

function* seated(events: Iterable<WireEvent>): Generator<Seated<WireEvent>, void> {
  for (const event of events) yield { type: 'seated', t: event.t, seat: 0, event };
}
