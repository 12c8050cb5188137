import { existsSync } from 'node:fs';
import { planSeat } from '../ports/connect.js';
import { loadSeat } from '../ports/files-seat.js';
import { fileNames } from '../ports/room-recorder.js';
import { recordTake } from '../ports/take-file.js';
import { takeHeader } from '../ports/take-plan.js';
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
import { listen } from './listening.js';

/** Reads an option that holds a duration. */
export function durationOf(call: Call, option: string): number {
  const text = textOf(call, option);
  if (text === undefined) return NEVER;
  const value = parseDuration(text);
  if (value === undefined || value <= 0) {
    throw new UsageFault(`--${option} takes a time with its unit, such as 30s, not "${text}"`);
  }
  return value;
}

/** The first name that no take has yet: an earlier recording is not to be lost. */
function freeName(stem: string): string {
  for (let n = 1; ; n++) {
    const path = `${stem}${n === 1 ? '' : `-${String(n)}`}.take.jsonl`;
    if (!existsSync(path)) return path;
  }
}

async function run(call: Call): Promise<Exit> {
  const [room] = call.words;
  if (room === undefined) throw new UsageFault('the room is missing');
  const longest = durationOf(call, 'for');
  const seat = await loadSeat(room, textOf(call, 'seat'), folderOf(call));
  const { name, rules } = seat.ready.seat;
  const path = textOf(call, 'out') ?? freeName(`recordings/${fileNames([name])[0]!}`);
  const take = recordTake(path, takeHeader(name, planSeat(seat.ready).plan, rules));

  let scans = 0;
  let last = 0;
  const started = Date.now();
  const listening = listen(seat, call, longest, (event) => {
    if (event.type === 'scan') scans += 1;
    last = event.t;
    take.record(event);
  });
  call.tell({
    level: 'info',
    what: `Recording ${name} to ${path}`,
    next: longest === NEVER ? 'Press Ctrl-C to stop.' : 'It stops by itself.',
  });
  const progress = setInterval(() => {
    const seconds = Math.round((Date.now() - started) / 1_000);
    if (call.watched) process.stderr.write(`\r${String(seconds)} s, ${String(scans)} scans `);
    else if (scans === 0 && seconds === 5) {
      call.tell({ level: 'warn', what: 'No readings have come yet', where: name });
    }
  }, 1_000);
  await listening.ended;
  clearInterval(progress);
  if (call.watched) process.stderr.write('\r');
  take.record({ type: 'reset', t: last, why: 'end' });
  await take.close();
  if (scans === 0) {
    throw new Failure(
      `no readings came from ${name}; the take ${path} is empty: check the board's cable and the seat's "from"`,
    );
  }
  call.tell({
    level: 'info',
    what: `Recorded ${String(scans)} scans in ${(last / SECOND).toFixed(1)} s`,
    where: path,
  });
  return EXIT.done;
}

export const record: Command = {
  name: 'record',
  summary: 'record the raw readings of one seat as a take',
  usage: ['record ROOM [OPTIONS]'],
  about: `Records the raw readings of one seat of a room as a take, without playing them, until Ctrl-C.
The take carries the instrument and the build, so it can be run again anywhere.`,
  words: 1,
  options: {
    seat: { takes: 'NAME', about: 'which seat [the only one]' },
    out: {
      takes: 'FILE',
      about: `the take, replaced if it is there; gzipped where the name ends in .gz
        [recordings/SEAT.take.jsonl, or SEAT-2, SEAT-3 … where that is there]`,
    },
    for: { takes: 'TIME', about: 'stop by itself after this long, such as 30s' },
    ...FOLDER,
  },
  run,
};
