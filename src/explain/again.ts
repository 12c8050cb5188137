import { from } from 'rxjs';
import { seatWay, sharerOf, type SeatPlan } from '../pipeline.js';
import { ownLogic } from '../playing/own-logic.js';
import type { SeatEvent } from '../playing/note.js';
import { isChange } from '../room/change.js';
import type { RoomInput } from '../room/room.js';
import type { Seated } from '../time/alongside.js';
import { virtualClock } from '../time/clock.js';
import type { Reset } from '../time/events.js';
import { through } from '../time/through.js';
import type { WireEvent } from '../wire/scan.js';
import type { PlayedNote } from '../compare/notes.js';
import type { Other } from './others.js';
import { notesOf, share, type WatchedRun } from './run.js';

/**
 * Runs the same stretch again with one rule changed, from the start of the take on, also in what was
 * swapped meanwhile. The other seats play what they played. Touches that are the same by the other
 * rule are not looked for again.
 *
 * @returns the notes of the seat, as they would have sounded
 */
export function again(run: WatchedRun, other: Other): PlayedNote[] {
  const { seats, seat, room } = run.asked;
  const plan = seats[seat]!;
  const altered: SeatPlan = { ...plan, rules: other.rules(plan.rules) };
  const own = other.room ? ownOf(run) : playAgain(run, altered, other);
  const sharers = seats.map((one, i) => sharerOf(i === seat ? altered : one));
  const input = merged(run, own).flatMap((event) => {
    if (!isChange(event) || !other.change) return [event];
    return other.change(event) ?? [];
  });
  return notesOf(share(input, sharers, other.room?.(room) ?? room), seat);
}

const ownOf = ({ input, asked }: WatchedRun): SeatEvent[] =>
  input.flatMap((event) =>
    event.type === 'seated' && event.seat === asked.seat ? [event.event] : [],
  );

function playAgain(run: WatchedRun, plan: SeatPlan, other: Other): SeatEvent[] {
  const out: SeatEvent[] = [];
  const swaps = run.events.some(({ type }) => type === 'swap');
  if (!other.pads && !swaps && !plan.made) {
    const { instrument, rules, logic } = plan;
    const code = logic && rules.logic?.code ? logic(rules.logic) : null;
    from(run.seen.touches.map(({ event }) => event))
      .pipe(through(ownLogic(instrument, rules, code, ignore), virtualClock()))
      .subscribe((event) => out.push(event));
    return out;
  }
  const end: Reset = { type: 'reset', t: run.end, why: 'end' };
  from([...run.events.map((event) => alteredSwap(event, other)), end])
    .pipe(through(seatWay(plan, ignore, ignore), virtualClock()))
    .subscribe((event) => out.push(event));
  return out;
}

/** What fails was told of when the take was run as it is. */
const ignore = (): void => undefined;

function alteredSwap(event: WireEvent, other: Other): WireEvent {
  if (event.type !== 'swap' || !event.rules) return event;
  return { ...event, rules: other.rules(event.rules) };
}

/** What the room is given, with other events of the seat in the place of its own. */
function merged({ input, asked: { seat } }: WatchedRun, own: readonly SeatEvent[]): RoomInput[] {
  const others = input.filter((event) => event.type !== 'seated' || event.seat !== seat);
  const all: RoomInput[] = [];
  let next = 0;
  for (const event of own) {
    const isBefore = (one: RoomInput): boolean =>
      one.t < event.t || (one.t === event.t && (one.type !== 'seated' || one.seat < seat));
    while (others[next] && isBefore(others[next]!)) all.push(others[next++]!);
    const seated: Seated<SeatEvent> = { type: 'seated', t: event.t, seat, event };
    all.push(seated);
  }
  return [...all, ...others.slice(next)];
}
