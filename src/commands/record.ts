import { existsSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { isOnPage } from '../instrument/room-from.js';
import { planSeat, type PlannedSeat } from '../ports/connect.js';
import { diskNotice, takeBytesAnHour } from '../ports/takes/disk-use.js';
import { loadWholeRoom, type WholeRoom } from '../ports/files/room.js';
import { loadSeat } from '../ports/files/seat.js';
import type { UnitOptions } from '../ports/room/sources.js';
import { roomPlan } from '../ports/room/plan.js';
import { missingWords } from '../ports/takes/recordings.js';
import { fileNames } from '../ports/takes/room-recorder.js';
import { recordTake } from '../ports/takes/file.js';
import { takeHeader } from '../ports/takes/plan.js';
import { recordRoomTake } from '../ports/takes/room.js';
import type { Seated } from '../time/alongside.js';
import { NEVER, parseDuration, SECOND } from '../time/micros.js';
import {
  EXIT,
  FOLDER,
  folderOf,
  Failure,
  textOf,
  UsageFault,
  type Call,
  type Command,
  type Exit,
} from './cli.js';
import type { WireEvent } from '../wire/scan.js';
import { listenAll } from './listening.js';
import { trustOwn } from './trust.js';
import { checkOutputs, makeWay } from './replacing.js';

/** Reads an option that holds a duration. */
export function durationOf(call: Call, option: string): number {
  const text = textOf(call, option);
  if (text === undefined) return NEVER;
  const value = parseDuration(text);
  if (value === undefined) {
    throw new UsageFault(`--${option} takes a time with its unit, such as 30s, not "${text}"`);
  }
  if (value > 0) return value;
  throw new UsageFault(`--${option} takes a time longer than 0, such as 30s, not "${text}"`);
}

/** The first name that no take has yet: an earlier recording is not to be lost. */
function freeName(stem: string): string {
  for (let n = 1; ; n++) {
    const path = `${stem}${n === 1 ? '' : `-${String(n)}`}.take.jsonl`;
    if (!existsSync(path)) return path;
  }
}

/** No page is served here, so that nobody could play a unit that is on it. */
function refuseOnPage(room: string, seats: WholeRoom['seats']): void {
  if (!seats.every(({ seat }) => isOnPage(seat.from))) return;
  const names = seats.map(({ seat }) => seat.name).join(', ');
  throw new Failure(
    `${names}: played by a finger or the mouse on the page; ` +
      `"pluckwork play ${room} --record DIR" keeps what is played there`,
  );
}

/** What is recorded, and where to. */
interface Recording {
  readonly seats: readonly PlannedSeat[];
  readonly units: UnitOptions;
  readonly path: string;
  record(event: Seated<WireEvent>): void;
  /** Resolves as soon as something could not be written. */
  readonly failed: Promise<unknown>;
  close(): Promise<void>;
}

/** Begins a take of the seat that is asked for, or of the whole room. */
async function begin(room: string, call: Call): Promise<Recording> {
  const folder = folderOf(call);
  const wanted = textOf(call, 'seat');
  const named = (stem: string): string => {
    const out = textOf(call, 'out');
    if (out === undefined) return freeName(`recordings/${stem}`);
    makeWay(out, call);
    return out;
  };
  if (wanted === undefined) {
    const whole = await loadWholeRoom(room, folder);
    if (whole.seats.length > 1) {
      refuseOnPage(room, whole.seats);
      trustOwn(whole.seats);
      const seats = whole.seats.map(planSeat);
      const take = recordRoomTake(named('room'), seats, roomPlan(whole.room, whole.seats));
      return { seats, units: { folder }, ...take };
    }
  }
  const { ready, others } = await loadSeat(room, wanted, folder);
  refuseOnPage(room, [ready]);
  const { name, rules } = ready.seat;
  const planned = planSeat(ready);
  const take = recordTake(named(fileNames([name])[0]!), takeHeader(name, planned.plan, rules));
  const { path, failed, close } = take;
  return {
    seats: [planned],
    units: { folder, absent: others },
    path,
    failed,
    close,
    record: ({ event }) => {
      take.record(event);
    },
  };
}

async function run(call: Call): Promise<Exit> {
  const [room] = call.words;
  if (room === undefined) throw new UsageFault('the room is missing');
  checkOutputs(call, ['out'], {});
  const longest = durationOf(call, 'for');
  const { seats, units, path, ...take } = await begin(room, call);
  const names = seats.map(({ ready }) => ready.seat.name);

  const scans = seats.map(() => 0);
  const all = (): number => scans.reduce((sum, count) => sum + count, 0);
  let last = 0;
  const started = Date.now();
  const listening = listenAll(seats, units, call, longest, (event) => {
    if (event.event.type !== 'reset') scans[event.seat]! += 1;
    last = event.t;
    take.record(event);
  });
  call.tell({
    level: 'info',
    what: `Recording ${names.join(', ')} to ${path}`,
    next: longest === NEVER ? 'Press Ctrl-C to stop.' : 'It stops by itself.',
  });
  const plans = seats.map(({ plan }) => takeBytesAnHour(plan));
  call.tell(
    diskNotice(
      path,
      dirname(resolve(path)),
      plans.reduce((sum, one) => sum + one, 0),
    ),
  );
  const progress = setInterval(() => {
    const seconds = Math.round((Date.now() - started) / 1_000);
    if (call.watched) process.stderr.write(`\r${String(seconds)} s, ${String(all())} scans `);
  }, 1_000);
  // There is nothing to play on for: `close` says what failed.
  void take.failed.then(listening.stop);
  await listening.ended;
  clearInterval(progress);
  if (call.watched) process.stderr.write('\r');
  for (const seat of seats.keys()) {
    take.record({ type: 'seated', t: last, seat, event: { type: 'reset', t: last, why: 'end' } });
  }
  await take.close();
  const missing = missingWords([path]);
  if (missing !== null) throw new Failure(missing);
  if (all() === 0) {
    throw new Failure(
      `no readings came from ${names.join(', ')}; the take ${path} is empty: check the board's cable and the seat's "from"`,
    );
  }
  call.tell({
    level: 'info',
    what: `Recorded ${String(all())} scans in ${(last / SECOND).toFixed(1)} s`,
    where: path,
  });
  return EXIT.done;
}

export const record: Command = {
  name: 'record',
  summary: 'record the raw readings of a room, or of one seat, as a take',
  usage: ['record ROOM [OPTIONS]'],
  about: `Records the raw readings of a room as one take, or those of one of its seats, without playing
them, until Ctrl-C. The take carries instruments and builds, so it can be run again anywhere.`,
  words: 1,
  options: {
    seat: { takes: 'NAME', about: 'which seat [all of them, in one take]' },
    out: {
      takes: 'FILE',
      about: `the take; one that is there is kept in earlier/ beside it, under its date; gzipped where the name ends in .gz
        [recordings/SEAT.take.jsonl, of a whole room recordings/room.take.jsonl, or SEAT-2,
        SEAT-3 … where that is there]`,
    },
    for: { takes: 'TIME', about: 'stop by itself after this long, such as 30s' },
    ...FOLDER,
  },
  run,
};
