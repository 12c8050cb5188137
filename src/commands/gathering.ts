import { padNames } from '../instrument/pad-names.js';
import type { Build, Instrument } from '../instrument/types.js';
import { calibratePads } from '../calibration/calibrate.js';
import { printedOrder } from '../instrument/instrument-pads.js';
import { planSeat } from '../ports/connect.js';
import { loadSeat, straight } from '../ports/files/seat.js';
import { planTake } from '../ports/takes/plan.js';
import { RUNS_NONE } from '../ports/takes/trust.js';
import { fileProblems } from '../ports/takes/problems.js';
import { ReadingLimit } from '../takes/limits.js';
import { NEVER, SECOND } from '../time/micros.js';
import type { Scan } from '../wire/scan.js';
import { progressWords, stillToTouch } from '../calibration/words.js';
import { Failure, textOf, UsageFault, type Call } from './cli.js';
import { listen } from './listening.js';
import { durationOf } from './record.js';
import { takeOf } from './take-options.js';

/** Readings of one unit while somebody touches all of its pads, wherever they come from. */
export interface Gathered {
  readonly scans: readonly Scan[];
  readonly instrument: Instrument;
  readonly wiring: readonly (number | null)[];
  readonly full: number;
  /** The unit's calibration so far; null where there is none. */
  readonly build: Build | null;
  /** True where the board decides itself what is a touch (see PadsPlan). */
  readonly decided: boolean;
  /** True where the wire numbers its messages (see PadsPlan). */
  readonly numbered: boolean;
}

const LET_GO = 2 * SECOND;
const LONGEST = 180 * SECOND;
/**
 * What came in this time is looked through every second for new touches. Looking through all of it
 * would hold up the readings that come meanwhile, and more so the longer it lasts.
 */
const LATELY = 6 * SECOND;

/** Which of a room's name and --take was given; exactly one must be. */
export function roomOrTake(call: Call): { room: string } | { take: string } {
  const [room] = call.words;
  const take = textOf(call, 'take');
  if (room !== undefined && take !== undefined)
    throw new UsageFault('give a room or --take, not both');
  if (room !== undefined) return { room };
  if (take !== undefined) return { take };
  throw new UsageFault('the room or --take is missing');
}

/** What to do where no readings came. */
export function unheardWords(call: Call): string {
  return textOf(call, 'take') === undefined
    ? 'check the board\'s cable and the seat\'s "from"'
    : 'there are none in the take, so record another one';
}

/**
 * Gathers the readings of a take.
 *
 * @param build name of the unit's build, instead of the take's own
 */
export async function gatherTake(
  path: string,
  call: Call,
  folder: string,
  build?: string,
): Promise<Gathered> {
  const take = await takeOf(path, call);
  const instead = { instrument: textOf(call, 'instrument'), build };
  const plan = await planTake(path, take.header, folder, instead, RUNS_NONE);
  const scans: Scan[] = [];
  const problems = fileProblems(path, call.tell);
  const limit = new ReadingLimit('judging or calibrating a unit');
  for await (const batch of take.events(problems.report)) {
    for (const event of batch) {
      if (event.type !== 'scan') continue;
      limit.hold(event);
      scans.push(event);
    }
  }
  problems.done();
  const { instrument, pads } = plan;
  const wiring = pads.build?.wiring ?? straight(instrument);
  const { full, decided, numbered = false } = pads;
  return { scans, instrument, wiring, full, decided, numbered, build: pads.build };
}

/** What differs between the commands that gather live. */
export interface Asking {
  /** What a seat whose board decides itself what is a touch needs none of. */
  readonly needless: string;
  /** How the pads are to be touched. */
  readonly how: string;
}

/**
 * Gathers live until all pads were touched, the time is up, or the person pressed Ctrl-C.
 *
 * @param ready called with the name of the seat's build before anything is asked of anybody; it may throw
 */
export async function gatherLive(
  room: string,
  call: Call,
  folder: string,
  { needless, how }: Asking,
  ready: (buildName: string) => void = () => undefined,
): Promise<Gathered & { readonly seat: string }> {
  const open = await loadSeat(room, textOf(call, 'seat'), folder);
  const { instrument, build, seat } = open.ready;
  const { plan } = planSeat(open.ready);
  const { decided, full, numbered = false } = plan.pads;
  if (decided) {
    throw new Failure(
      `${seat.name} needs no ${needless}: its board decides itself what is a touch (as: notes)`,
    );
  }
  const { wiring } = open;
  ready(open.buildName);
  const names = padNames(instrument);
  const scans: Scan[] = [];
  const asked = durationOf(call, 'for');
  const listening = listen(open, call, asked === NEVER ? LONGEST : asked, (event) => {
    if (event.type === 'scan') scans.push(event);
  });
  call.tell({ level: 'info', what: `Let go of all pads of ${seat.name}` });
  let told = '';
  const touched = names.map(() => 0);
  const printed = Object.fromEntries(printedOrder(instrument).map((pad, i) => [names[pad]!, i]));
  const look = setInterval(() => {
    const last = scans.at(-1)?.t ?? 0;
    if (last < LET_GO) return;
    const lately = scans.slice(scans.findIndex(({ t }) => t >= last - LATELY));
    const found = calibratePads(lately, wiring, names.length, full).touched;
    found.forEach((count, pad) => (touched[pad] = Math.max(touched[pad]!, count)));
    const left = stillToTouch({ touched }, names).sort((a, b) => printed[a]! - printed[b]!);
    const words = progressWords(names.length, left, how);
    if (words !== told) call.tell({ level: 'info', what: words });
    told = words;
    if (left.length === 0) listening.stop();
  }, 1_000);
  await listening.ended;
  clearInterval(look);
  const unit = { instrument, wiring, full, decided, numbered, build };
  return { scans, ...unit, seat: seat.name };
}
