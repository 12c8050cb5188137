import type { Instrument, Rules } from '../../instrument/types.js';
import { rulesAsWritten } from '../../takes/rules-written.js';
import type { SeatPlan } from '../../pipeline.js';
import { readReadings, type FitTake, type Readings } from '../../ports/fit/take.js';
import { planTake } from '../../ports/takes/plan.js';
import { RUNS_NONE } from '../../ports/takes/trust.js';
import { PLAIN } from '../../instrument/rules.js';
import { align, moved } from '../../score/align.js';
import { blocksOf, briefOf, type Block } from '../../fit/blocks.js';
import { playedBy, touchesOf } from '../../fit/way.js';
import { notesOf, type ListedNote } from '../../takes/read-notes.js';
import { MILLISECOND, SECOND, type Micros } from '../../time/micros.js';
import { Failure, folderOf, textOf, textsOf, UsageFault, type Call } from '../cli.js';
import { wantedNotes } from '../score/score.js';
import { takeOf } from '../take-options.js';

/** All that a fit works on. */
export interface Gathered {
  readonly takes: readonly FitTake[];
  readonly blocks: readonly Block[];
  readonly kind: Instrument['kind'];
  readonly start: Rules;
  /** All boards decide themselves what is a touch. */
  readonly decided: boolean;
  /** Every wanted note carries a velocity. */
  readonly velocities: boolean;
  /** By take, how far its wanted notes were moved; null: they stand as they are. */
  readonly shifts: readonly (Micros | null)[];
}

/** One take as it was opened. */
interface Opened {
  readonly path: string;
  readonly plan: SeatPlan;
  readonly readings: Readings;
  readonly wanted: readonly ListedNote[];
  readonly shift: Micros | null;
}

/** Fewer wanted notes say nothing about rules. */
const LEAST_NOTES = 16;
/** More problems of one take are counted, not told. */
const MOST_TOLD = 5;
/** Fewer right notes than this share, and the notes are not those of the take. */
const LEAST_RIGHT = 0.25;

/** Each take with its notes: the first TAKE goes with the first NOTES, and so on. */
export function pairsOf(call: Call): { take: string; notes: string }[] {
  const { words } = call;
  const wanted = textsOf(call, 'wanted');
  if (words.length === 0) throw new UsageFault('the take is missing');
  if (words.length !== wanted.length) {
    throw new UsageFault(
      `every take needs its own wanted notes: ${counted(words.length, 'take')}, ` +
        `but --wanted was given ${wanted.length === 1 ? 'once' : `${String(wanted.length)} times`}`,
    );
  }
  const twice = words.find((word, i) => words.indexOf(word) !== i);
  if (twice !== undefined) {
    throw new UsageFault(`${twice} was given twice: a take cannot be left out and looked at too`);
  }
  return words.map((take, i) => ({ take, notes: wanted[i]! }));
}

export async function gatherTakes(call: Call, window: Micros): Promise<Gathered> {
  const opened: Opened[] = [];
  for (const { take, notes } of pairsOf(call))
    opened.push(await openOne(call, take, notes, window));
  const [first] = opened;
  const { instrument, rules: start } = first!.plan;
  const { kind } = instrument;
  const other = opened.find(({ plan }) => plan.instrument.kind !== kind);
  if (other) {
    const kinds = `${kind} in ${first!.path}, ${other.plan.instrument.kind} in ${other.path}`;
    throw new UsageFault(`the takes are of different kinds of instruments: ${kinds}`);
  }
  const another = opened.find(({ plan }) => contentOf(plan.rules) !== contentOf(start));
  if (another) {
    throw new UsageFault(
      `the takes were played by different rules, ${start.name} and ${another.plan.rules.name}: ` +
        'say with --from which ones to start with',
    );
  }
  if (start.logic !== null) {
    throw new Failure(
      `the rules ${start.name} have logic of their own, ${start.logic.file}, which has no settings ` +
        'to search; start with others by --from',
    );
  }
  const wanted = opened.map((one) => one.wanted);
  const count = wanted.flat().length;
  if (count < LEAST_NOTES) {
    throw new Failure(
      `only ${counted(count, 'note')} wanted in all: too few to tell good rules from luck; ` +
        `record at least ${String(LEAST_NOTES)}, better a minute or two`,
    );
  }
  const blocks = blocksOf(wanted, window);
  if (blocks.length < 2) {
    throw new Failure(
      `${first!.path}: the take cannot be cut in two at a silence, so nothing could be left out to ` +
        'judge the rules by; give a second take, or a longer one with rests',
    );
  }
  return {
    blocks,
    kind,
    start,
    takes: opened.map((one, i) => fitTake(one, blocks, i, call, window)),
    decided: opened.every(({ plan }) => plan.pads.decided),
    velocities: wanted.flat().every(({ velocity }) => velocity !== null),
    shifts: opened.map(({ shift }) => shift),
  };
}

async function openOne(call: Call, path: string, notes: string, window: Micros): Promise<Opened> {
  const seat = textOf(call, 'seat');
  const { header } = await takeOf(path, call);
  if (header.made === true) {
    throw new Failure(
      `${path}: its notes were made on another computer, so that no rules here change them; ` +
        'fit a take that was recorded there',
    );
  }
  const instead = {
    instrument: textOf(call, 'instrument'),
    build: textOf(call, 'build'),
    rules: textOf(call, 'from'),
  };
  // Rules with a module of their own cannot be fitted, and are refused before they run.
  const plan = await planTake(path, header, folderOf(call), instead, RUNS_NONE);
  const readings = await readReadings(path, seat);
  tellOf(path, readings, call);
  const { notes: asked } = await wantedNotes(notes, call);
  if (call.values.align !== true) return { path, plan, readings, wanted: asked, shift: null };
  const shift = shiftOf(path, { plan, readings, asked }, window);
  return { path, plan, readings, wanted: moved(asked, shift), shift };
}

function tellOf(path: string, { problems, swapped }: Readings, call: Call): void {
  for (const { line, what } of problems.slice(0, MOST_TOLD)) {
    call.tell({ level: 'warn', what, where: `${path}:${String(line)}` });
  }
  if (problems.length > MOST_TOLD) {
    const more = String(problems.length - MOST_TOLD);
    call.tell({ level: 'warn', what: `${more} more lines were left out`, where: path });
  }
  const at = (t: Micros): string => `${path} at ${(t / SECOND).toFixed(3)} s`;
  if (swapped.unit !== null) {
    throw new Failure(
      `${at(swapped.unit)}: another instrument or build came into play while it was recorded; ` +
        'record a take without that',
    );
  }
  if (swapped.rules !== null) {
    call.tell({
      level: 'warn',
      what: 'the rules were changed while it was recorded; that is left out here',
      where: at(swapped.rules),
    });
  }
}

/** By how much the wanted notes must be moved, by the start's rules or plain, whichever finds more. */
export function shiftOf(
  path: string,
  take: { plan: SeatPlan; readings: Readings; asked: readonly ListedNote[] },
  window: Micros,
): Micros {
  const { plan, readings, asked } = take;
  const found = [plan.rules, PLAIN].map((rules) => {
    const played = notesOf(playedBy(touchesOf(readings.events, plan, rules), plan, rules));
    return align(asked, played, window);
  });
  const best = found.reduce((a, b) => ((b?.right ?? 0) > (a?.right ?? 0) ? b : a));
  if (best && best.right >= LEAST_RIGHT * asked.length) return best.shift;
  throw new Failure(
    `${path}: the wanted notes are not found in it, wherever they begin: at best ` +
      `${String(best?.right ?? 0)} of ${String(asked.length)} are right; are they those of this take?`,
  );
}

function fitTake(
  { path, plan, wanted }: Opened,
  blocks: readonly Block[],
  index: number,
  call: Call,
  window: Micros,
): FitTake {
  const stretches = blocks.filter(({ take }) => take === index).map(({ stretch }) => stretch);
  const { instrument, pads } = plan;
  return {
    path,
    wanted,
    stretches,
    window,
    seat: textOf(call, 'seat'),
    plan: { instrument, pads },
    brief: stretches.length > 1 ? null : briefOf(wanted, window),
  };
}

const contentOf = (rules: Rules): string => JSON.stringify(rulesAsWritten({ ...rules, name: '' }));

export function counted(count: number, noun: string): string {
  return `${String(count)} ${noun}${count === 1 ? '' : 's'}`;
}

/** Who follows a beat is not on it to 50 ms. */
export const ALIGNED_WINDOW: Micros = 150 * MILLISECOND;
