import { performance } from 'node:perf_hooks';
import type { Observable } from 'rxjs';
import { LogicFault } from '../playing/own-logic-run.js';
import type { PlannedRoomTake } from '../ports/take-room-plan.js';
import type { VoiceEvent } from '../room/voice.js';
import { rerun } from '../takes/rerun.js';
import type { RoomTakeEvent } from '../takes/room-line.js';
import { rerunRoom } from '../takes/room-rerun.js';
import type { TakeProblem } from '../takes/take.js';
import type { OnFault } from '../time/alongside.js';
import type { Micros } from '../time/micros.js';
import type { WireEvent } from '../wire/scan.js';
import type { Call } from './cli.js';
import type { openTakeOf } from './take-options.js';

/** What came of a take that was run again. */
export interface TakeRun {
  readonly events: readonly VoiceEvent[];
  /** How many raw values were read. */
  readonly readings: number;
  /** How many of its lines could not be read. */
  readonly leftOut: number;
  /** The time of the last event. */
  readonly last: Micros;
  /** How long it took to run, in milliseconds. */
  readonly took: number;
}

/** Runs an opened take, telling of lines that cannot be read and of whatever fails on the way. */
export function runTake(
  { path, take, plan }: Awaited<ReturnType<typeof openTakeOf>>,
  call: Call,
): TakeRun {
  return watch<WireEvent>(path, take, call, (events, onFault) => rerun(events, plan, onFault));
}

/** The same for a take of a whole room. */
export function runRoomTake(
  path: string,
  { take, seats, room, names }: PlannedRoomTake,
  call: Call,
): TakeRun {
  return watch<RoomTakeEvent>(
    path,
    take,
    call,
    (events, onFault) => rerunRoom(events, seats, room, onFault),
    names,
  );
}

function watch<Event extends WireEvent | RoomTakeEvent>(
  path: string,
  take: { events(report: (problem: TakeProblem) => void): Iterable<Event> },
  call: Call,
  run: (events: Iterable<Event>, onFault: OnFault) => Observable<VoiceEvent>,
  names?: readonly string[],
): TakeRun {
  const began = performance.now();
  const events: VoiceEvent[] = [];
  let readings = 0;
  let leftOut = 0;
  let last = 0;
  function* counted() {
    for (const event of take.events(({ line, what }) => {
      leftOut += 1;
      call.tell({ level: 'warn', what, where: `${path}:${String(line)}` });
    })) {
      last = event.t;
      const own = event.type === 'seated' ? event.event : event;
      if (own.type === 'scan') readings += own.inputs.length;
      yield event;
    }
  }
  run(counted(), faultTeller(path, call, names)).subscribe((event) => events.push(event));
  return { events, readings, leftOut, last, took: performance.now() - began };
}

/** Tells of what fails while a take is run. */
export function faultTeller(path: string, call: Call, names?: readonly string[]): OnFault {
  return (seat, t, error) => {
    const of = names?.[seat] === undefined ? '' : `, seat ${names[seat]}`;
    if (error instanceof LogicFault) {
      call.tell({
        level: 'error',
        what: `Own logic failed: ${error.what}`,
        where: `${error.where}, at ${(t / 1e6).toFixed(3)} s of ${path}${of}`,
        next: `${error.next} From there on the built-in logic plays.`,
      });
      return;
    }
    call.tell({
      level: 'error',
      what: `the playing logic failed and ended its notes: ${(error as Error).message}`,
      where: `${path}${of} at ${(t / 1e6).toFixed(3)} s`,
      next: 'It went on from there.',
    });
  };
}
