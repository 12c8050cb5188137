import { planRoomTake } from '../../ports/takes/room-plan.js';
import { plainRoom } from '../../room/plan.js';
import { explain } from '../../explain/explain.js';
import type { Asked } from '../../explain/run.js';
import { padCount } from '../../instrument/instrument-pads.js';
import { nearest } from '../../instrument/near.js';
import { padNames } from '../../instrument/pad-names.js';
import type { Instrument } from '../../instrument/types.js';
import { fileProblems } from '../../ports/takes/problems.js';
import type { Report } from '../../takes/read.js';
import { seatedBatches } from '../../takes/rerun.js';
import { isRoomTake } from '../../takes/room-header.js';
import { formatDuration, MILLISECOND, SECOND, type Micros } from '../../time/micros.js';
import { EXIT, Failure, FOLDER, folderOf, textOf, timeOf, UsageFault } from '../cli.js';
import type { Call, Command, Exit } from '../cli.js';
import { timeWords } from '../../compare/words.js';
import { explainJson } from './json.js';
import { explainText } from './text.js';
import type { Titles } from '../../explain/words.js';
import { faultTeller } from '../rerun/take.js';
import { trustOf } from '../trust.js';
import { openTakeOf, readTakeOf, seatTake, TAKE_OPTIONS } from '../take-options.js';
import { checkOutputs, writeResult } from '../replacing.js';

const USUAL: Micros = 300 * MILLISECOND;
const LONGEST: Micros = 10 * SECOND;

type Opened = Omit<Asked, 'from' | 'to'> & { readonly titles: Titles };

function times(call: Call): { at: Micros; around: Micros } {
  const at = timeOf(call, 'at');
  if (at === undefined) throw new UsageFault('--at is missing: the time to explain, such as 12.5s');
  const around = timeOf(call, 'around') ?? USUAL;
  if (around >= MILLISECOND && around <= LONGEST) return { at, around };
  throw new UsageFault(`--around takes 1ms to ${formatDuration(LONGEST)}`);
}

/** Opens the take of one seat, or of a room with all that its other seats play. */
async function open(call: Call): Promise<Opened> {
  const read = await readTakeOf(call);
  const { path, opened } = read;
  // It may be read several times; what is to be said of its lines is said once.
  let { report }: { report: Report } = fileProblems(path, call.tell);
  const once = (): Report => {
    const now = report;
    report = () => undefined;
    return now;
  };
  if (!isRoomTake(opened.header)) {
    const { take, plan } = await openTakeOf(call, read);
    return {
      events: () => seatedBatches(take.events(once()), 0),
      seats: [plan],
      room: plainRoom(1),
      seat: 0,
      titles: { path, seats: ['take'], seat: 0 },
    };
  }
  for (const option of ['instrument', 'build']) {
    if (textOf(call, option) === undefined) continue;
    throw new UsageFault(`--${option} does not go with a take of a whole room, which has its own`);
  }
  // Says which seats there are where none is chosen, or none of that name.
  seatTake(path, call, opened);
  const rules = textOf(call, 'rules');
  const planned = await planRoomTake(path, opened, folderOf(call), rules, trustOf(call));
  const { take, seats, room, names } = planned;
  const seat = Math.max(0, names.indexOf(textOf(call, 'seat') ?? names[0]!));
  const titles = { path, seats: names, seat };
  return { events: () => take.events(once()), seats, room, seat, titles };
}

function padOf(call: Call, instrument: Instrument): number | null {
  const text = textOf(call, 'pad');
  if (text === undefined) return null;
  const names = padNames(instrument);
  const same = (name: string): boolean => name.toLowerCase() === text.trim().toLowerCase();
  const index = /^\d+$/.test(text) ? Number(text) : names.findIndex(same);
  if (index >= 0 && index < padCount(instrument)) return index;
  const near = nearest(text, names);
  const meant = near === undefined ? `its pads are ${names.join(', ')}` : `did you mean "${near}"?`;
  throw new UsageFault(`there is no pad "${text}"; ${meant}`);
}

async function run(call: Call): Promise<Exit> {
  checkOutputs(call, ['json'], { 'the take itself': call.words[0] });
  const { at, around } = times(call);
  const { titles, ...opened } = await open(call);
  const { path, seats, seat } = titles;
  const plan = opened.seats[seat]!;
  if (plan.made) {
    throw new Failure(
      `${path}: its notes were made on another computer, so that nothing here says why; ` +
        'explain a take that was recorded there',
    );
  }
  const asked: Asked = { ...opened, from: Math.max(0, at - around), to: at + around };
  const told = faultTeller(path, call, seats.length > 1 ? seats : undefined);
  const explained = await explain(asked, at, padOf(call, plan.instrument), told);
  const { ends } = explained;
  if (ends !== null && at > ends) {
    throw new UsageFault(`--at is after the end of the take, at ${timeWords(ends)}`);
  }
  const json = textOf(call, 'json');
  if (json === '-') call.say(JSON.stringify(explainJson(explained, titles)));
  else {
    for (const line of explainText(explained, titles)) call.say(line);
    if (json !== undefined) {
      writeResult(json, `${JSON.stringify(explainJson(explained, titles))}\n`, call);
    }
  }
  return EXIT.done;
}

export const explainCommand: Command = {
  name: 'explain',
  summary: 'say why there was a note, or none, at one time of a take',
  usage: ['explain TAKE --at TIME [OPTIONS]'],
  about: `Runs a take up to a time and a little beyond, and says in words what happened around it, in
the order of the way: what the pads were read at, whether that was a touch and how strong, what the
playing logic made of it, what the room did with the note, and when the note ended and why; or why
there was none. Rules are named only where running the take again, with that one rule changed, plays
something else. Where nothing happened, it names the nearest notes. Of a take of a whole room, --seat
says whose; --rules then holds for all seats.`,
  words: 1,
  options: {
    at: { takes: 'TIME', about: 'the time of the take to explain, as 12.5s' },
    around: { takes: 'TIME', about: 'how much is looked at before and after it [300ms]' },
    pad: { takes: 'PAD', about: 'only this pad, by its number or its name, such as "A1 pluck"' },
    json: {
      takes: 'FILE',
      about: 'write all as one JSON object; - is standard output, then alone',
    },
    ...TAKE_OPTIONS,
    ...FOLDER,
  },
  run,
};
