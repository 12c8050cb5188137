import type { Observable } from 'rxjs';
import type { SeatPlan } from '../pipeline.js';
import { plainRoom } from '../room/plan.js';
import type { VoiceEvent } from '../room/voice.js';
import type { OnFault, Seated } from '../time/alongside.js';
import type { WireEvent } from '../wire/scan.js';
import type { Batches } from './read.js';
import { rerunRoom, rerunRoomBatches } from './room-rerun.js';

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

/** The same of a take that is read meanwhile, as `rerunRoomBatches` does. */
export function rerunBatches(
  events: Batches<WireEvent>,
  seat: SeatPlan,
  onFault: OnFault,
): Batches<VoiceEvent> {
  return rerunRoomBatches(seatedBatches(events, 0), [seat], plainRoom(1), onFault);
}

/** Events of one seat as those of a room. */
export async function* seatedBatches(
  events: Batches<WireEvent>,
  seat: number,
): AsyncGenerator<readonly Seated<WireEvent>[], void> {
  for await (const batch of events) {
    yield batch.map((event) => ({ type: 'seated', t: event.t, seat, event }));
  }
}

function* seated(events: Iterable<WireEvent>): Generator<Seated<WireEvent>, void> {
  for (const event of events) yield { type: 'seated', t: event.t, seat: 0, event };
}
