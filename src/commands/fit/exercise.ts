import { existsSync } from 'node:fs';
import { loadInstrument } from '../../ports/files/files.js';
import { readReadings } from '../../ports/fit/take.js';
import { alreadyThere, saveNew } from '../../ports/fit/save.js';
import { planTake } from '../../ports/takes/plan.js';
import { moved } from '../../score/align.js';
import {
  beatOf,
  COUNT_IN,
  exerciseFor,
  wantedOf,
  wantedText,
  type Step,
} from '../../fit/exercise.js';
import { MILLISECOND, SECOND, type Micros } from '../../time/micros.js';
import { EXIT, FOLDER, folderOf, textOf, UsageFault } from '../cli.js';
import type { Call, Command, Exit } from '../cli.js';
import { ALIGNED_WINDOW, shiftOf } from './takes.js';
import { checkOutputs } from '../replacing.js';
import { takeOf } from '../take-options.js';

const USUAL_TEMPO = 60;
const [SLOWEST, FASTEST] = [20, 240] as const;

function tempoOf(call: Call): number {
  const text = textOf(call, 'tempo');
  if (text === undefined) return USUAL_TEMPO;
  const tempo = /^\d+(\.\d+)?$/.test(text) ? Number(text) : NaN;
  if (tempo >= SLOWEST && tempo <= FASTEST) return tempo;
  throw new UsageFault(
    `--tempo takes beats a minute, from ${String(SLOWEST)} to ${String(FASTEST)}, not "${text}"`,
  );
}

/** What is said at each beat or half beat. */
function linesOf(steps: readonly Step[]): { beat: number; line: string }[] {
  const counts = Array.from({ length: COUNT_IN }, (_, i) => ({
    beat: i - COUNT_IN,
    line: `        ${String(i + 1)}`,
  }));
  const said = steps.map(({ beat, words }) => ({
    beat,
    line: `${(beat + 1).toFixed(1).padStart(6)}  ${words}`,
  }));
  return [...counts, ...said];
}

/** Says every line in its time. */
export async function prompt(call: Call, steps: readonly Step[], tempo: number): Promise<void> {
  const began = performance.now();
  const bell = process.stdout.isTTY ? '\x07' : '';
  for (const { beat, line } of linesOf(steps)) {
    const due = began + ((beat + COUNT_IN) * beatOf(tempo)) / MILLISECOND;
    await new Promise((resolve) => setTimeout(resolve, Math.max(0, due - performance.now())));
    if (Number.isInteger(beat)) process.stdout.write(bell);
    call.say(line);
  }
}

/** How much later the exercise begins in a take than in its notes. */
async function shiftIn(
  path: string,
  call: Call,
  asked: ReturnType<typeof wantedOf>,
): Promise<Micros> {
  const { header } = await takeOf(path, call);
  const plan = await planTake(path, header, folderOf(call), {});
  const readings = await readReadings(path, textOf(call, 'seat'));
  return shiftOf(path, { plan, readings, asked }, ALIGNED_WINDOW);
}

async function run(call: Call): Promise<Exit> {
  const [name] = call.words;
  if (name === undefined) throw new UsageFault('the instrument is missing');
  const tempo = tempoOf(call);
  const [take, out] = [textOf(call, 'take'), textOf(call, 'out')];
  checkOutputs(call, ['out'], { 'the take itself': take });
  const force = call.values.force === true;
  if (take !== undefined && out === undefined) {
    throw new UsageFault('--take is for the notes that --out names; name a file');
  }
  if (take === undefined && textOf(call, 'seat') !== undefined) {
    throw new UsageFault('--seat is for the take that --take names');
  }
  if (out !== undefined && !force && existsSync(out)) throw new UsageFault(alreadyThere(out));
  const steps = exerciseFor(await loadInstrument(name, folderOf(call)));
  const asked = wantedOf(steps, tempo);
  const shift = take === undefined ? 0 : await shiftIn(take, call, asked);
  // What would begin before the take does is no part of it.
  const wanted = moved(asked, shift).filter(({ onset }) => onset >= 0);
  if (out !== undefined) {
    const kept = await saveNew(out, wantedText(wanted), force);
    if (kept) call.tell({ level: 'info', ...kept });
  }
  if (take !== undefined) {
    call.say(`In ${take} the first note is wanted at ${(wanted[0]!.onset / SECOND).toFixed(3)} s.`);
    return EXIT.done;
  }
  call.say(
    `${String(tempo)} beats a minute, ${String(COUNT_IN)} counted first; ` +
      `${String(wanted.length)} notes in ${(wanted.at(-1)!.onset / SECOND).toFixed(0)} s.`,
  );
  if (call.values.prompt === true) await prompt(call, steps, tempo);
  else for (const { line } of linesOf(steps)) call.say(line);
  return EXIT.done;
}

export const exerciseCommand: Command = {
  name: 'exercise',
  summary: 'write an exercise to record takes of, with its wanted notes',
  usage: [
    'exercise INSTRUMENT [--prompt] [--out NOTES] [OPTIONS]',
    'exercise INSTRUMENT --take TAKE --out NOTES [OPTIONS]',
  ],
  about: `Writes an exercise that goes through everything an instrument has: every place soft and firm,
quick repeats, quick changes, two at once. Record somebody who follows it ("record" in one terminal,
"exercise --prompt" in another one, which tells each step in time), then give the take and the notes
to "fit --align": the player need not start at an exact moment. With --take, the notes are written in
that take's own time, for "score" and "compare".`,
  words: 1,
  options: {
    tempo: { takes: 'N', about: `beats a minute [${String(USUAL_TEMPO)}]` },
    prompt: { about: 'tell each step when it is to be played' },
    out: { takes: 'NOTES', about: 'write the wanted notes' },
    take: { takes: 'TAKE', about: 'a take of the exercise, by whose time the notes are written' },
    seat: { takes: 'NAME', about: 'which seat, where the take is of a whole room' },
    force: { about: 'replace the notes if they are there; the old ones stay in earlier/' },
    ...FOLDER,
  },
  run,
};
