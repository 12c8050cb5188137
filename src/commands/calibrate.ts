import { padCount } from '../instrument/instrument.js';
import { padNames } from '../instrument/pad-names.js';
import type { Build, Instrument } from '../instrument/types.js';
import { calibratePads, type Calibration } from '../pads/calibrate.js';
import { planSeat } from '../ports/connect.js';
import { shown } from '../ports/files-find.js';
import { loadSeat, straight } from '../ports/files-seat.js';
import { saveBuild } from '../ports/files.js';
import { readTakeFile } from '../ports/take-file.js';
import { planTake } from '../ports/take-plan.js';
import { NEVER, SECOND } from '../time/micros.js';
import type { Scan } from '../wire/scan.js';
import { stillToTouch, unfitWords } from './calibration-words.js';
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
import { durationOf } from './record.js';

/** What a calibration works on, wherever its readings come from. */
interface Gathered {
  readonly scans: readonly Scan[];
  readonly instrument: Instrument;
  readonly wiring: readonly (number | null)[];
  readonly full: number;
  readonly buildName: string;
}

const LET_GO = 2 * SECOND;
const LONGEST = 180 * SECOND;

async function fromTake(path: string, call: Call, folder: string): Promise<Gathered> {
  const buildName = textOf(call, 'build');
  if (buildName === undefined) {
    throw new UsageFault('--build is missing: name the build that the take is to make');
  }
  const take = readTakeFile(path);
  const plan = await planTake(path, take.header, folder, {
    instrument: textOf(call, 'instrument'),
  });
  const scans: Scan[] = [];
  for (const event of take.events(({ line, what }) => {
    call.tell({ level: 'warn', what, where: `${path}:${String(line)}` });
  })) {
    if (event.type === 'scan') scans.push(event);
  }
  const { instrument, pads } = plan;
  const wiring = pads.build?.wiring ?? straight(instrument);
  return { scans, instrument, wiring, full: pads.full, buildName };
}

async function live(room: string, call: Call, folder: string): Promise<Gathered> {
  const seat = await loadSeat(room, textOf(call, 'seat'), folder);
  const { instrument } = seat.ready;
  const { plan } = planSeat(seat.ready);
  const { decided, full } = plan.pads;
  if (decided) {
    throw new Failure(
      `${seat.ready.seat.name} needs no calibration: its board decides itself what is a touch (as: notes)`,
    );
  }
  const { wiring } = seat;
  const names = padNames(instrument);
  const scans: Scan[] = [];
  const asked = durationOf(call, 'for');
  const listening = listen(seat, call, asked === NEVER ? LONGEST : asked, (event) => {
    if (event.type === 'scan') scans.push(event);
  });
  call.tell({ level: 'info', what: `Let go of all pads of ${seat.ready.seat.name}` });
  let told = '';
  const look = setInterval(() => {
    const last = scans.at(-1)?.t ?? 0;
    if (last < LET_GO) return;
    const left = stillToTouch(calibratePads(scans, wiring, names.length, full), names);
    const words = progress(names.length, left);
    if (words !== told) call.tell({ level: 'info', what: words });
    told = words;
    if (left.length === 0) listening.stop();
  }, 1_000);
  await listening.ended;
  clearInterval(look);
  return {
    scans,
    instrument,
    wiring,
    full,
    buildName: textOf(call, 'build') ?? seat.buildName,
  };
}

function progress(count: number, left: readonly string[]): string {
  if (left.length === 0) return 'All pads were touched';
  if (left.length === count) return 'Now touch every pad once, firmly, one after the other';
  const list = left.length > 6 ? `${left.slice(0, 6).join(', ')}, …` : left.join(', ');
  return `${String(count - left.length)} of ${String(count)} pads touched; still to touch: ${list}`;
}

function tellUnfit({ unfit }: Calibration, instrument: Instrument, call: Call): void {
  const names = padNames(instrument);
  for (const one of unfit) {
    const { what, next } = unfitWords(one);
    const where = `${names[one.pad] ?? '?'}, pad ${String(one.pad)}`;
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
  const gathered =
    path === undefined ? await live(room!, call, folder) : await fromTake(path, call, folder);
  const { scans, instrument, wiring, full, buildName } = gathered;
  const count = padCount(instrument);
  const result = calibratePads(scans, wiring, count, full);
  tellUnfit(result, instrument, call);
  if (result.pads.every((pad) => pad === null)) {
    throw new Failure(
      scans.length === 0
        ? 'no readings came: check the board\'s cable and the seat\'s "from"; nothing was written'
        : 'no pad could be calibrated, so nothing was written: touch each pad once, one at a time',
    );
  }
  const build: Build = { wiring, pads: result.pads };
  const kept = await saveBuild(build, buildName, folder);
  const fit = count - result.unfit.length;
  call.tell({
    level: 'info',
    what: `${String(fit)} of ${String(count)} pads are fit; kept as ${shown(kept)}`,
    next: `A seat with "build: ${buildName}" uses it.`,
  });
  return EXIT.done;
}

export const calibrate: Command = {
  name: 'calibrate',
  summary: 'learn one unit’s pads, live or from a take',
  usage: ['calibrate ROOM [OPTIONS]', 'calibrate --take TAKE --build NAME [OPTIONS]'],
  about: `Learns one unit: where each pad rests, how far a touch moves it, how much it flickers, and how
much its neighbours show on it. Let go of the unit, then touch every pad once, one at a time. Pads
that are not fit are named with a reason. The result is a build file, builds/NAME.json, which a
seat's "build: NAME" uses.`,
  words: 1,
  options: {
    seat: { takes: 'NAME', about: 'which seat of the room [the only one]' },
    take: { takes: 'TAKE', about: 'learn from a take instead of from a live unit' },
    instrument: {
      takes: 'NAME',
      about: 'with --take: the instrument [the one that the take names]',
    },
    build: { takes: 'NAME', about: "the build's name [the seat's build, else the seat's name]" },
    for: { takes: 'TIME', about: 'live: wait for pads no longer than this [3min]' },
    ...FOLDER,
  },
  run,
};
