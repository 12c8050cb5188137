import { concat, defer, from, Subject, type Observable, type ObservableInput } from 'rxjs';
import { tap } from 'rxjs/operators';
import { way, type SeatPlan } from '../pipeline.js';
import type { RoomPlan } from '../room/plan.js';
import type { VoiceEvent } from '../room/voice.js';
import type { OnFault, Seated } from '../time/alongside.js';
import { virtualClock } from '../time/clock.js';
import { through } from '../time/through.js';
import type { WireEvent } from '../wire/scan.js';
import type { Batches } from './read.js';
import type { RoomTakeEvent } from './room-line.js';

/**
 * Runs all that a room's seats brought, and what people changed meanwhile, through the whole way on
 * virtual time: the same input gives the same output, whenever and wherever it runs. It ends as a live
 * session does: everything that sounds at the time of the last event ends there.
 *
 * @param events in the order in which they were played
 * @param seats by slot, and `room`, as they were at the start
 */
export function rerunRoom(
  events: ObservableInput<RoomTakeEvent>,
  seats: readonly SeatPlan[],
  room: RoomPlan,
  onFault: OnFault,
): Observable<VoiceEvent> {
  return defer(() => {
    let last = 0;
    const playing = new Set(seats.keys());
    const played = from(events).pipe(
      tap((event) => {
        last = event.t;
        if (event.type === 'join') playing.add(event.seat);
        else if (event.type === 'leave') playing.delete(event.seat);
      }),
    );
    const end = defer(() => {
      const slots = [...playing].sort((a, b) => a - b);
      return from(slots.map((seat) => endOf(seat, last)));
    });
    return concat(played, end).pipe(through(way(seats, room, onFault), virtualClock()));
  });
}

/**
 * The same of a take that is read meanwhile: what comes of each batch of its events, as soon as it was
 * read.
 */
export async function* rerunRoomBatches(
  events: Batches<RoomTakeEvent>,
  seats: readonly SeatPlan[],
  room: RoomPlan,
  onFault: OnFault,
): AsyncGenerator<readonly VoiceEvent[], void> {
  const input = new Subject<RoomTakeEvent>();
  let voices: VoiceEvent[] = [];
  let failed: { readonly error: unknown } | null = null;
  rerunRoom(input, seats, room, onFault).subscribe({
    next: (event) => voices.push(event),
    error: (error: unknown) => (failed = { error }),
  });
  const taken = (): VoiceEvent[] => {
    const { error } = failed ?? {};
    if (error !== undefined) throw error as Error;
    const all = voices;
    voices = [];
    return all;
  };
  for await (const batch of events) {
    for (const event of batch) input.next(event);
    yield taken();
  }
  input.complete();
  yield taken();
}

function endOf(seat: number, t: number): Seated<WireEvent> {
  return { type: 'seated', t, seat, event: { type: 'reset', t, why: 'end' } };
}
