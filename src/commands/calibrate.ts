import { padCount } from '../instrument/instrument.js';
import { padNames } from '../instrument/pad-names.js';
import type { Build, Instrument } from '../instrument/types.js';
import { calibratePads, type Calibration } from '../calibration/calibrate.js';
import { homeOf, shown } from '../ports/files/find.js';
import { loadBuild, saveBuild, tryBuild } from '../ports/files/files.js';
import { unfitWords } from '../calibration/words.js';
import { EXIT, FOLDER, folderOf, Failure, textOf, UsageFault } from './cli.js';
import type { Call, Command, Exit } from './cli.js';
import { gatherLive, gatherTake, roomOrTake, unheardWords } from './gathering.js';
import type { Asking, Gathered } from './gathering.js';

/** What a calibration works on. */
interface ToLearn extends Gathered {
  readonly buildName: string;
}

const ASKING: Asking = {
  needless: 'calibration',
  how: 'Now touch every pad once, firmly, one after the other',
};

async function fromTake(path: string, call: Call, folder: string): Promise<ToLearn> {
  const buildName = textOf(call, 'build');
  if (buildName === undefined) {
    throw new UsageFault('--build is missing: name the build that the take is to make');
  }
  tryBuild(buildName, folder);
  return { ...(await gatherTake(path, call, folder)), buildName };
}

async function live(room: string, call: Call, folder: string): Promise<ToLearn> {
  let buildName = '';
  const gathered = await gatherLive(room, call, folder, ASKING, (usual) => {
    buildName = textOf(call, 'build') ?? usual;
    tryBuild(buildName, folder);
  });
  return { ...gathered, buildName };
}

/** The build that will be replaced; null where there is none that can be read. */
async function buildBefore(name: string, folder: string): Promise<Build | null> {
  try {
    return await loadBuild(homeOf('build', name, folder), folder);
  } catch {
    return null;
  }
}

/**
 * What was learned, with the values that a pad had before where nothing was seen of it now: a touch that was
 * forgotten, or lost on the network, is no reason to have the pad play no more. A pad that is stuck loses them,
 * since they would make its reading a touch without an end.
 */
function withKept(
  { pads, unfit }: Calibration,
  wiring: Build['wiring'],
  before: Build | null,
): { pads: Build['pads']; kept: ReadonlySet<number> } {
  const kept = new Set<number>();
  for (const { pad, reason } of unfit) {
    const same = before !== null && before.wiring.indexOf(pad) === wiring.indexOf(pad);
    const unseen = reason === 'untouched' || reason === 'unheard';
    if (same && unseen && before.pads[pad]) kept.add(pad);
  }
  return { pads: pads.map((learned, pad) => (kept.has(pad) ? before!.pads[pad]! : learned)), kept };
}

function tellUnfit(
  { unfit }: Calibration,
  kept: ReadonlySet<number>,
  instrument: Instrument,
  call: Call,
): void {
  const names = padNames(instrument);
  for (const one of unfit) {
    const { what, next } = unfitWords(one);
    const where = `${names[one.pad] ?? '?'}, pad ${String(one.pad)}`;
    const begins = kept.has(one.pad) ? 'Not calibrated now, plays as before' : 'Not fit';
    call.tell({ level: 'warn', what: `${begins}: ${what}`, where, next });
  }
}

function keptWords(count: number): string {
  if (count === 0) return '';
  return count === 1 ? ', one stays as it was' : `, ${String(count)} stay as they were`;
}

async function run(call: Call): Promise<Exit> {
  const folder = folderOf(call);
  const from = roomOrTake(call);
  const gathered =
    'room' in from ? await live(from.room, call, folder) : await fromTake(from.take, call, folder);
  const { scans, instrument, wiring, full, buildName } = gathered;
  if (!scans.some(({ inputs }) => inputs.length > 0)) {
    throw new Failure(`no readings came: ${unheardWords(call)}; nothing was written`);
  }
  const count = padCount(instrument);
  const result = calibratePads(scans, wiring, count, full);
  const { pads, kept } = withKept(result, wiring, await buildBefore(buildName, folder));
  tellUnfit(result, kept, instrument, call);
  if (result.pads.every((pad) => pad === null)) {
    throw new Failure(
      'no pad could be calibrated, so nothing was written: touch each pad once, one at a time',
    );
  }
  const build: Build = { wiring, pads };
  const { path, earlier } = await saveBuild(build, buildName, folder);
  const fit = count - result.unfit.length;
  call.tell({
    level: 'info',
    what: `${String(fit)} of ${String(count)} pads are fit${keptWords(kept.size)}; kept as ${shown(path)}`,
    next: `A seat with "build: ${buildName}" uses it.`,
  });
  if (earlier) call.tell({ level: 'info', ...earlier });
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
    seat: { takes: 'NAME', about: 'which seat of the room, or of a take of one [the only one]' },
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
