import { performance } from 'node:perf_hooks';
import { LogicFault } from '../../playing/own-logic-run.js';
import { fileProblems } from '../../ports/takes/problems.js';
import type { PlannedRoomTake } from '../../ports/takes/room-plan.js';
import type { VoiceEvent } from '../../room/voice.js';
import { limitNotes } from '../../takes/limits.js';
import type { Batches, Report } from '../../takes/read.js';
import { rerunBatches } from '../../takes/rerun.js';
import type { RoomTakeEvent } from '../../takes/room-line.js';
import { rerunRoomBatches } from '../../takes/room-rerun.js';
import type { OnFault } from '../../time/alongside.js';
import type { Micros } from '../../time/micros.js';
import type { WireEvent } from '../../wire/scan.js';
import type { Call } from '../cli.js';
import type { openTakeOf } from '../take-options.js';

/** A take that is run again as its voices are asked for. */
export interface TakeRun {
  readonly voices: Batches<VoiceEvent>;
  /** What came of it so far; all of it once the voices have ended. */
  readonly seen: Seen;
}

export interface Seen {
  /** How many lines told of something. */
  readonly told: number;
  /** How many raw values were read. */
  readonly readings: number;
  /** How many of its lines could not be read. */
  readonly leftOut: number;
  /** The time of the last event. */
  readonly last: Micros;
  /** How long it took to run, in milliseconds, without what was done with its voices meanwhile. */
  readonly took: number;
}

/** Runs an opened take, telling of lines that cannot be read and of whatever fails on the way. */
export function runTake(
  { path, take, plan }: Awaited<ReturnType<typeof openTakeOf>>,
  call: Call,
): TakeRun {
  return watch<WireEvent>(path, take, call, (events) =>
    rerunBatches(events, plan, faultTeller(path, call)),
  );
}

/** The same for a take of a whole room. */
export function runRoomTake(
  path: string,
  { take, seats, room, names }: PlannedRoomTake,
  call: Call,
): TakeRun {
  return watch<RoomTakeEvent>(path, take, call, (events) =>
    rerunRoomBatches(events, seats, room, faultTeller(path, call, names)),
  );
}

/**
 * Runs a take to its end, for what needs all of its notes at once.
 *
 * @throws TakeTooLong
 */
export async function voicesOf({
  voices,
  seen,
}: TakeRun): Promise<{ events: VoiceEvent[] } & Seen> {
  const events: VoiceEvent[] = [];
  for await (const batch of voices) {
    for (const event of batch) events.push(event);
    limitNotes(events.length / 2);
  }
  return { events, ...seen };
}

function watch<Event extends WireEvent | RoomTakeEvent>(
  path: string,
  take: { events(report: Report): Batches<Event> },
  call: Call,
  run: (events: Batches<Event>) => Batches<VoiceEvent>,
): TakeRun {
  const seen = { told: 0, readings: 0, leftOut: 0, last: 0, took: 0 };
  async function* counted(): AsyncGenerator<readonly Event[], void> {
    const problems = fileProblems(path, call.tell);
    for await (const batch of take.events(problems.report)) {
      for (const event of batch) {
        seen.last = event.t;
        seen.told += 1;
        const own = event.type === 'seated' ? event.event : event;
        if (own.type === 'scan') seen.readings += own.inputs.length;
      }
      yield batch;
    }
    problems.done();
    seen.leftOut = problems.count;
  }
  async function* timed(): AsyncGenerator<readonly VoiceEvent[], void> {
    let began = performance.now();
    for await (const batch of run(counted())) {
      seen.took += performance.now() - began;
      yield batch;
      began = performance.now();
    }
    seen.took += performance.now() - began;
  }
  return { voices: timed(), seen };
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
