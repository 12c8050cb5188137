import { concat, from, of, type Observable } from 'rxjs';
import { map } from 'rxjs/operators';
import type { Rules } from '../instrument/types.js';
import type { SeatPlan } from '../pipeline.js';
import { levels } from '../pads/levels.js';
import { touches } from '../pads/touches.js';
import type { TouchEvent } from '../pads/touch.js';
import type { NoteEvent } from '../playing/note.js';
import { playing } from '../playing/playing.js';
import type { Change } from '../room/change.js';
import { plainRoom } from '../room/plan.js';
import { sharing } from '../room/room.js';
import type { VoiceEvent } from '../room/voice.js';
import { alongside, type Seated } from '../time/alongside.js';
import { chain } from '../time/chain.js';
import { virtualClock } from '../time/clock.js';
import type { Reset } from '../time/events.js';
import { through } from '../time/through.js';
import type { Scan } from '../wire/scan.js';

/*
 * `rerun` in two halves. By far the most time goes into levels and touches, which only the rules under
 * `touch` and `strength` change: whoever tries many rule sets on one take keeps their touches.
 */

/** All that the first half depends on. */
export type TouchRules = Pick<Rules, 'touch' | 'strength'>;

/** The touches of one unit's readings, with the end after the last of them. */
export function touchesOf(
  events: readonly (Scan | Reset)[],
  { pads }: Pick<SeatPlan, 'pads'>,
  rules: TouchRules,
): TouchEvent[] {
  const end: Reset = { type: 'reset', t: events.at(-1)?.t ?? 0, why: 'end' };
  const stage = chain('pads', levels(pads, rules), touches(pads, rules));
  return all(concat(from(events), of(end)).pipe(through(stage, virtualClock())));
}

/** What the built-in logic plays of them, in a room that holds nothing back. */
export function playedBy(
  found: readonly TouchEvent[],
  { instrument }: Pick<SeatPlan, 'instrument'>,
  rules: Rules,
): VoiceEvent[] {
  const fail = (_seat: number, _t: number, error: unknown): void => {
    throw error;
  };
  const stage = chain(
    'way',
    alongside<TouchEvent, NoteEvent, Change>('seats', [playing(instrument, rules)], fail),
    sharing([{ voices: rules.voices, drums: instrument.kind === 'hits' }], plainRoom(1)),
  );
  const seated = (event: TouchEvent): Seated<TouchEvent> => ({
    type: 'seated',
    t: event.t,
    seat: 0,
    event,
  });
  return all(from(found).pipe(map(seated), through(stage, virtualClock())));
}

/** All of a stream that is over as soon as it is asked. What a stage throws is thrown from here. */
function all<Event>(stream: Observable<Event>): Event[] {
  const events: Event[] = [];
  const faults: unknown[] = [];
  stream.subscribe({
    next: (event) => events.push(event),
    error: (error) => faults.push(error),
  });
  if (faults.length > 0) throw faults[0] as Error;
  return events;
}
