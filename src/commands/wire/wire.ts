import { padCount } from '../../instrument/instrument.js';
import { padNames } from '../../instrument/pad-names.js';
import type { Instrument } from '../../instrument/types.js';
import { printedOrder } from '../../instrument/instrument-pads.js';
import { unfitOf, wiredBuild, type WiredBuild } from '../../wiring/build.js';
import type { WireKind } from '../../wiring/kind.js';
import { planSeat } from '../../ports/connect.js';
import { shown } from '../../ports/files/find.js';
import { loadSeat, oldBuild } from '../../ports/files/seat.js';
import { saveBuild, tryBuild } from '../../ports/files/files.js';
import { planTake } from '../../ports/takes/plan.js';
import { RUNS_NONE } from '../../ports/takes/trust.js';
import { NEVER, SECOND } from '../../time/micros.js';
import { unfitWords } from '../../calibration/words.js';
import { EXIT, Failure, FOLDER, folderOf, textOf, UsageFault } from '../cli.js';
import type { Call, Command, Exit } from '../cli.js';
import { unheardWords } from '../gathering.js';
import { durationOf } from '../record.js';
import { takeOf } from '../take-options.js';
import { wireLive, wireTake, type WireTask } from './gather.js';
import { skippedPads } from './options.js';
import type { WireSession } from '../../wiring/session.js';
import { CALIBRATION_WORDS, orderWords, wiringTable } from '../../wiring/words.js';

const LONGEST = 300 * SECOND;

/** What is to be learned, wherever its readings come from. */
interface Wanted {
  readonly instrument: Instrument;
  readonly kind: WireKind;
  readonly buildName: string;
  /** How to go on once it is written. */
  readonly next: string;
  learn(task: WireTask): Promise<WireSession>;
}

async function fromRoom(room: string, call: Call, folder: string): Promise<Wanted> {
  const asked = durationOf(call, 'for');
  const seat = await loadSeat(room, textOf(call, 'seat'), folder);
  const { instrument, seat: own } = seat.ready;
  const buildName = textOf(call, 'build') ?? seat.buildName;
  const line = `build: ${buildName}`;
  return {
    instrument,
    buildName,
    kind: planSeat(seat.ready).plan.pads,
    next:
      own.build === buildName
        ? `Seat ${own.name} uses it. Play it: pluckwork play ${room}`
        : `Write "${line}" into seat ${own.name} of the room's file, then: pluckwork play ${room}`,
    learn: (task) => wireLive(seat, task, asked === NEVER ? LONGEST : asked, call),
  };
}

async function fromTake(path: string, call: Call, folder: string): Promise<Wanted> {
  const buildName = textOf(call, 'build');
  if (buildName === undefined) {
    throw new UsageFault('--build is missing: name the build that the take is to make');
  }
  const take = await takeOf(path, call);
  // The build that the take was played by does not matter, and may be long gone.
  const header = { ...take.header };
  delete header.build;
  const instead = { instrument: textOf(call, 'instrument') };
  const { instrument, pads } = await planTake(path, header, folder, instead, RUNS_NONE);
  return {
    instrument,
    buildName,
    kind: pads,
    next: `A seat with "build: ${buildName}" uses it.`,
    learn: (task) => wireTake(path, take, task, call),
  };
}

function requireEnd(
  session: WireSession,
  order: readonly number[],
  call: Call,
): NonNullable<WireSession['end']> {
  const { end, scans } = session;
  const count = end?.answers.length ?? 0;
  if (!scans.some(({ inputs }) => inputs.length > 0)) {
    throw new Failure(`no readings came: ${unheardWords(call)}; nothing was written`);
  }
  if (end?.type !== 'kept') {
    throw new Failure(
      `it stopped after ${String(count)} of ${String(order.length)} pads, so nothing was written: ` +
        'start again, or skip pads that are dead (s, or --skip)',
    );
  }
  if (end.answers.every(({ input }) => input === null)) {
    throw new Failure('every pad was skipped, so nothing was written');
  }
  return end;
}

function tellUnfit(made: WiredBuild, names: readonly string[], call: Call): void {
  for (const one of unfitOf(made)) {
    const where = `${names[one.pad] ?? '?'}, pad ${String(one.pad)}`;
    const { what, next } = unfitWords(one);
    call.tell({ level: 'warn', what: `Not fit: ${what}`, where, next });
  }
}

async function run(call: Call): Promise<Exit> {
  const folder = folderOf(call);
  const [room] = call.words;
  const path = textOf(call, 'take');
  if (room !== undefined && path !== undefined)
    throw new UsageFault('give a room or --take, not both');
  if (room === undefined && path === undefined)
    throw new UsageFault('the room or --take is missing');
  const wanted =
    path === undefined ? await fromRoom(room!, call, folder) : await fromTake(path, call, folder);
  const { instrument, kind, buildName } = wanted;
  const names = padNames(instrument);
  const skipped = skippedPads(call, names);
  const order = printedOrder(instrument).filter((pad) => !skipped.has(pad));
  const old = await oldBuild(buildName, folder);
  tryBuild(buildName, folder);
  call.tell({ level: 'info', what: `The printed order: ${orderWords(order, names)}` });

  const session = await wanted.learn({ kind, order, names });
  const end = requireEnd(session, order, call);
  const made = wiredBuild(end, session.scans, kind, old);
  for (const line of wiringTable(end, made.build.wiring, printedOrder(instrument), names)) {
    call.say(line);
  }
  tellUnfit(made, names, call);
  const { path: kept, earlier } = await saveBuild(made.build, buildName, folder);
  const wired = end.answers.filter(({ input }) => input !== null).length;
  call.tell({
    level: 'info',
    what: `${String(wired)} of ${String(padCount(instrument))} pads have their input; kept as ${shown(kept)}`,
  });
  if (earlier) call.tell({ level: 'info', ...earlier });
  call.tell({ level: 'info', what: CALIBRATION_WORDS[made.calibration], next: wanted.next });
  return EXIT.done;
}

export const wire: Command = {
  name: 'wire',
  summary: 'learn which wire is which pad, by touching the pads in the printed order',
  usage: ['wire ROOM [OPTIONS]', 'wire --take TAKE --build NAME [OPTIONS]'],
  about: `Learns which input of the board is which pad, so that nobody needs to sort cables. Let go of the
unit, then touch the pads one after the other in the printed order, as the instrument file lists
them: string by string, on each the frets from the nut on, then its pluck pad; keys from the left; holes
from the mouth down, then the mouth; drum pads in their order. For bass-4x4 that is G2
fret 1, G2 fret 2, G2 fret 3, G2 fret 4, G2 pluck, then the same on D2, A1 and E1. It names the pad to
touch next, and says which input it saw. A wrong touch is taken back by u, Backspace or Delete, or by
touching the last pad again and holding it for 2 seconds; s skips a dead pad; q or Ctrl-C stops, and
writes nothing unless every pad had its turn. Keys need a terminal. In a take any touch of 2 seconds or
more takes the last one back, and dead pads are named with --skip. The result is builds/NAME.json: its
wiring, and a calibration made of these very touches unless an old one with the same wiring is there.`,
  words: 1,
  options: {
    seat: { takes: 'NAME', about: 'which seat of the room, or of a take of one [the only one]' },
    take: { takes: 'TAKE', about: 'learn from a take instead of from a live unit' },
    instrument: {
      takes: 'NAME',
      about: 'with --take: the instrument [the one that the take names]',
    },
    build: { takes: 'NAME', about: "the build's name [the seat's build, else the seat's name]" },
    skip: { takes: 'PADS', about: 'dead pads, as in "G2 fret 3, 17": they get no input [none]' },
    for: { takes: 'TIME', about: 'live: stop after this long [5min]' },
    ...FOLDER,
  },
  run,
};
