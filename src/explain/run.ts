import { from, Subject } from 'rxjs';
import { seatsWay, sharerOf, swapped, type SeatPlan } from '../pipeline.js';
import type { RoomPlan } from '../room/plan.js';
import { sharing, type RoomInput, type RoomSeat } from '../room/room.js';
import type { VoiceEvent } from '../room/voice.js';
import type { OnFault, Seated } from '../time/alongside.js';
import { virtualClock } from '../time/clock.js';
import { MILLISECOND, SECOND, type Micros } from '../time/micros.js';
import { through } from '../time/through.js';
import type { WireEvent } from '../wire/scan.js';
import { playedNotes, type PlayedNote } from '../compare/notes.js';
import { SeatWatch, type Seen } from './watch.js';
import { ReadingLimit } from '../takes/limits.js';
import type { Batches } from '../takes/read.js';
import type { RoomTakeEvent } from '../takes/room-line.js';

/** A take, and what of it is to be explained. */
export interface Asked {
  /** From the start of the take, each time. */
  events(): Batches<RoomTakeEvent>;
  readonly seats: readonly SeatPlan[];
  readonly room: RoomPlan;
  /** Which seat, counted from 0. */
  readonly seat: number;
  readonly from: Micros;
  readonly to: Micros;
}

/** A take that was run until what sounds in the window has ended, and all that was seen of it. */
export interface WatchedRun {
  readonly asked: Asked;
  readonly seen: Seen;
  /** What the seat's own wire brought, as far as it was run. */
  readonly events: readonly WireEvent[];
  readonly end: Micros;
  /** Whether the take was run to its end. */
  readonly whole: boolean;
  readonly input: readonly RoomInput[];
  readonly voices: readonly VoiceEvent[];
  /** The seat's, as they sound. */
  readonly notes: readonly PlayedNote[];
}

/** What would make a note end later than it did needs some time to show. */
const ON: Micros = 200 * MILLISECOND;
/** No note that is asked about is followed longer than this. */
const LONGEST: Micros = 65 * SECOND;

/**
 * Runs the take once, with the stages of the seat watched around the time. Of what the wires brought,
 * only the seat's own is kept.
 *
 * @throws TakeTooLong, or what the take's events reject with
 */
export async function watchRun(asked: Asked, onFault: OnFault): Promise<WatchedRun> {
  const { seats, seat, from: begin, to } = asked;
  const watch = new SeatWatch(seats[seat]!, begin, to);
  const input: RoomInput[] = [];
  const sounding = new Set<number>();
  let ended = 0;

  const own: WireEvent[] = [];
  const limit = new ReadingLimit('explaining this late a time of it');
  const played = new Subject<RoomTakeEvent>();
  let end = 0;
  async function play(): Promise<boolean> {
    for await (const batch of asked.events()) {
      for (const event of batch) {
        if (event.t > to + LONGEST) return false;
        if (event.t > Math.max(to, ended) + ON && sounding.size === 0) return false;
        end = event.t;
        if (event.type === 'seated' && event.seat === seat) {
          limit.hold(event.event);
          own.push(event.event);
          watch.before(event.event);
        }
        played.next(event);
      }
    }
    return true;
  }

  const all = seatsWay(seats, onFault, undefined, (i) => (i === seat ? watch.watch : undefined));
  played.pipe(through(all, virtualClock())).subscribe((event) => {
    input.push(event);
    if (event.type !== 'seated' || event.seat !== seat) return;
    const { event: note } = event;
    if (note.type === 'on' && note.t <= to) sounding.add(note.string);
    else if (note.type === 'off' && sounding.delete(note.string)) ended = note.t;
    else if (note.type === 'reset') sounding.clear();
  });
  const whole = await play();
  for (const reset of resets(seats.length, end)) played.next(reset);
  played.complete();
  const voices = share(input, seats.map(sharerOf), asked.room);
  return {
    asked,
    seen: watch,
    input,
    voices,
    events: own,
    end,
    whole,
    notes: notesOf(voices, seat),
  };
}

/** What the room makes of what its seats play. */
export function share(
  input: Iterable<RoomInput>,
  sharers: readonly RoomSeat[],
  room: RoomPlan,
): VoiceEvent[] {
  const voices: VoiceEvent[] = [];
  from(input)
    .pipe(through(sharing(sharers, room), virtualClock()))
    .subscribe((event) => voices.push(event));
  return voices;
}

export function notesOf(voices: readonly VoiceEvent[], seat: number): PlayedNote[] {
  const own = (event: VoiceEvent): boolean => !('seat' in event) || event.seat === seat;
  return playedNotes(voices.filter(own));
}

/** The seat's plan as it is at a time, with what was swapped until then. */
export function planAt({ asked, events }: WatchedRun, t: Micros): SeatPlan {
  let plan = asked.seats[asked.seat]!;
  for (const event of events) {
    if (event.t > t) break;
    if (event.type === 'swap') plan = swapped(plan, event)?.plan ?? plan;
  }
  return plan;
}

/** The end of a session: all that sounds ends there. */
function* resets(seats: number, last: Micros): Generator<Seated<WireEvent>, void> {
  for (let seat = 0; seat < seats; seat++) {
    yield { type: 'seated', t: last, seat, event: { type: 'reset', t: last, why: 'end' } };
  }
}
