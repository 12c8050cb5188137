import { concat, defer, from, of, type Observable } from 'rxjs';
import { map, tap } from 'rxjs/operators';
import { way, type SeatPlan } from '../pipeline.js';
import { plainRoom } from '../room/plan.js';
import type { VoiceEvent } from '../room/voice.js';
import type { OnFault, Seated } from '../time/alongside.js';
import { virtualClock } from '../time/clock.js';
import { through } from '../time/through.js';
import type { WireEvent } from '../wire/scan.js';

/**
 * Runs readings through the whole way on virtual time: the same input gives the same output,
 * whenever and wherever it runs. It ends as a live session does: everything that sounds at the time
 * of the last event ends there.
 *
 * @param events of one seat, in the order of time
 */
export function rerun(
  events: Iterable<WireEvent>,
  seat: SeatPlan,
  onFault: OnFault,
): Observable<VoiceEvent> {
  return defer(() => {
    let last = 0;
    const seated = (event: WireEvent): Seated<WireEvent> => ({
      type: 'seated',
      t: event.t,
      seat: 0,
      event,
    });
    const readings = from(events).pipe(tap((event) => (last = event.t)));
    const end = defer(() => of<WireEvent>({ type: 'reset', t: last, why: 'end' }));
    return concat(readings, end).pipe(
      map(seated),
      through(way([seat], plainRoom(1), onFault), virtualClock()),
    );
  });
}
