import { basename } from 'node:path';
import { padNames } from '../../instrument/pad-names.js';
import { checkUnit } from '../../check/check.js';
import { loadSeat } from '../../ports/files/seat.js';
import { checkHtml } from './html.js';
import { checkJson, type Subject } from './json.js';
import { checkText } from './text.js';
import { orderWords } from '../../check/words.js';
import { EXIT, FOLDER, folderOf, Failure, textOf, UsageFault } from '../cli.js';
import type { Call, Command, Exit } from '../cli.js';
import { gatherLive, gatherTake, roomOrTake, unheardWords, type Gathered } from '../gathering.js';
import { checkOutputs, writeResult } from '../replacing.js';

interface ToCheck extends Gathered {
  /** What is checked, for the report's head. */
  readonly unit: string;
}

async function gather(call: Call, folder: string): Promise<ToCheck> {
  const from = roomOrTake(call);
  if ('take' in from) {
    const gathered = await gatherTake(from.take, call, folder, textOf(call, 'build'));
    if (gathered.decided) {
      throw new Failure(
        `${from.take} cannot be checked: its board decided itself what was a touch, so it holds no raw values`,
      );
    }
    const seat = textOf(call, 'seat');
    const unit = basename(from.take);
    return { ...gathered, unit: seat === undefined ? unit : `${unit}, ${seat}` };
  }
  for (const option of ['instrument', 'build']) {
    if (textOf(call, option) !== undefined) {
      throw new UsageFault(`--${option} goes with --take; a seat names its own`);
    }
  }
  const { ready } = await loadSeat(from.room, textOf(call, 'seat'), folder);
  const gathered = await gatherLive(from.room, call, folder, {
    needless: 'check of its signals',
    how:
      `Now touch every pad once, firmly, in the printed order: ${orderWords(ready.instrument)}; ` +
      'press Ctrl-C when you are through and a pad does not answer',
  });
  return { ...gathered, unit: gathered.seat };
}

async function run(call: Call): Promise<Exit> {
  const page = textOf(call, 'html');
  checkOutputs(call, ['html'], { 'the take itself': textOf(call, 'take') });
  const gathered = await gather(call, folderOf(call));
  const { scans, instrument, unit } = gathered;
  if (!scans.some(({ inputs }) => inputs.length > 0)) {
    throw new Failure(
      `no readings came from ${unit}, so nothing can be judged: ${unheardWords(call)}`,
    );
  }
  const names = padNames(instrument);
  const checked = checkUnit(scans, gathered);
  const subject: Subject = { unit, instrument: instrument.name };
  if (call.values.json === true) {
    call.say(JSON.stringify(checkJson(checked.check, names, subject)));
  } else {
    for (const line of checkText(checked.check, names)) call.say(line);
  }
  if (page !== undefined) {
    const when = new Date().toISOString().slice(0, 10);
    writeResult(page, checkHtml(checked, names, subject, when), call);
    call.tell({ level: 'info', what: `The page with plots is in ${page}` });
  }
  return EXIT.done;
}

export const checkCommand: Command = {
  name: 'check',
  summary: 'tell which pads of a unit to fix, and how',
  usage: ['check ROOM [OPTIONS]', 'check --take TAKE [OPTIONS]'],
  about: `Judges one unit: lets you touch every pad once, or reads a take of that, and tells for each
pad how far a touch stands out of its noise (5:1 is the least), and which pads are dead, stuck,
held, joined, swapped, noisy, weak, coupled or drifting, with a probable cause and a next step,
what hurts playing most first. Let go of the unit for two seconds; then touch the pads one at a
time in the printed order: each string's frets from the nut on, then its pluck; keys from the left;
holes from the mouth down; drum pads in their order. It ends with 0
whenever it could judge, fit or not, and with 1 when no readings came.`,
  words: 1,
  options: {
    seat: { takes: 'NAME', about: 'which seat of the room, or of a take of one [the only one]' },
    take: { takes: 'TAKE', about: 'judge a take instead of a live unit' },
    instrument: {
      takes: 'NAME',
      about: 'with --take: the instrument [the one that the take names]',
    },
    build: {
      takes: 'NAME',
      about: "with --take: the build whose wiring counts [the take's own, else input n is pad n]",
    },
    json: { about: 'write one JSON object instead of text' },
    html: { takes: 'FILE', about: 'also write one page with plots, to look at or print' },
    for: { takes: 'TIME', about: 'live: wait for pads no longer than this [3min]' },
    ...FOLDER,
  },
  run,
};
