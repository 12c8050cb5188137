import { playedNotes } from '../../compare/notes.js';
import { FARTHEST } from '../../compare/within.js';
import { formatDuration, type Micros } from '../../time/micros.js';
import { EXIT, FOLDER, Failure, textOf, textsOf, UsageFault } from '../cli.js';
import type { Call, Command, Exit } from '../cli.js';
import { compareHtml } from './html.js';
import { compareJson } from './json.js';
import { compareRuns, type Comparison, type Run } from '../../compare/run.js';
import { compareText } from './text.js';
import { windowAsked, windowWithin } from './window.js';
import { durationOf } from '../record.js';
import { runTake, voicesOf } from '../rerun/take.js';
import { wantedNotes } from '../score/score.js';
import { openTakeOf, readTakeOf, TAKE_OPTIONS, type OpenedTake } from '../take-options.js';
import { checkOutputs, writeResult } from '../replacing.js';

type Opened = Awaited<ReturnType<typeof openTakeOf>>;

/** The rules that are asked for: of A and of B; undefined is what the take names. */
function rulesAsked(call: Call): readonly [string | undefined, string] {
  const [first, second, third] = textsOf(call, 'rules');
  if (first === undefined) {
    throw new UsageFault('--rules is missing: give it twice, once for each of the two to compare');
  }
  if (third !== undefined) throw new UsageFault('two rule sets are compared: give --rules twice');
  return second === undefined ? [undefined, first] : [first, second];
}

/** Opens the take by some rules, from one reading of its file. */
async function open(call: Call, read: OpenedTake, rules: string | undefined): Promise<Opened> {
  return openTakeOf({ ...call, values: { ...call.values, rules } }, read);
}

function refuseMade({ path, take: { header } }: Opened): void {
  if (header.made !== true) return;
  throw new Failure(
    `${path}: its notes were made on another computer, so that no rules here change them; ` +
      'compare a take that was recorded there',
  );
}

async function gather(call: Call): Promise<Comparison> {
  const [rulesA, rulesB] = rulesAsked(call);
  const apart = apartOf(call);
  const asked = windowAsked(call);
  const read = await readTakeOf(call);
  const openA = await open(call, read, rulesA);
  refuseMade(openA);
  // What is to be said of the take has been said.
  const openB = await open({ ...call, tell: () => undefined }, read, rulesB);
  const wantedPath = textOf(call, 'wanted');
  const wanted = wantedPath === undefined ? null : (await wantedNotes(wantedPath, call)).notes;

  const alike = openA.plan.rules.name === openB.plan.rules.name;
  const run = async (
    label: string,
    opened: Opened,
    asked: string | undefined,
  ): Promise<{ run: Run; last: Micros }> => {
    const name = alike && asked !== undefined ? asked : opened.plan.rules.name;
    // Lines that cannot be read are the same in both runs: told once.
    const tell: Call['tell'] = (notice) => {
      if (notice.level === 'error')
        call.tell({ ...notice, what: `${label} (${name}): ${notice.what}` });
      else if (label === 'A') call.tell(notice);
    };
    const { events, last } = await voicesOf(runTake(opened, { ...call, tell }));
    return { run: { name, plan: opened.plan, notes: playedNotes(events) }, last };
  };
  const a = await run('A', openA, rulesA);
  const b = await run('B', openB, rulesB);
  const { path, take } = openA;
  const runs = { path, take, a: a.run, b: b.run, length: a.last, wanted, apart };
  return { ...compareRuns(runs), window: windowWithin(asked, a.last) };
}

function apartOf(call: Call): Micros | null {
  if (textOf(call, 'apart') === undefined) return null;
  const apart = durationOf(call, 'apart');
  if (apart <= FARTHEST) return apart;
  throw new UsageFault(`--apart takes at most ${formatDuration(FARTHEST)}`);
}

async function run(call: Call): Promise<Exit> {
  const [take] = call.words;
  const read = { 'the take itself': take, 'the file of wanted notes': textOf(call, 'wanted') };
  checkOutputs(call, ['json', 'html'], read);
  const comparison = await gather(call);
  const json = textOf(call, 'json');
  const html = textOf(call, 'html');
  if (json === '-') call.say(JSON.stringify(compareJson(comparison)));
  else {
    for (const line of compareText(comparison)) call.say(line);
    if (json !== undefined) writeResult(json, `${JSON.stringify(compareJson(comparison))}\n`, call);
  }
  if (html !== undefined) {
    writeResult(html, await compareHtml(comparison), call);
    call.tell({ level: 'info', what: `The page is in ${html}: open it with a browser` });
  }
  return EXIT.done;
}

export const compareCommand: Command = {
  name: 'compare',
  summary: 'tell what two rule sets make of one take, note by note',
  usage: ['compare TAKE --rules A --rules B [OPTIONS]', 'compare TAKE --rules B [OPTIONS]'],
  about: `Runs a take twice, by the rules A and by the rules B, and tells which notes B misses, adds,
or plays at another pitch, earlier or later, louder or softer, longer or shorter, and which keys of
the rules differ. With --rules once, A are the rules that the take names. With --wanted, both are
scored, and of each difference it says which side is right. --html writes one page that draws the
levels of the pads with the notes of both under them, made for looking at one bar of music. A note
of B is the same as one of A where it is on the same string and begins at most 50 ms earlier or
later, and as much more as one of the rule sets puts notes off longer than the other; times within
1 ms count as equal.`,
  words: 1,
  options: {
    ...TAKE_OPTIONS,
    rules: {
      takes: 'NAME',
      many: true,
      about: 'a rule set to compare; give it twice, first A, then B',
    },
    wanted: { takes: 'NOTES', about: 'the notes that should have sounded, as for "score"' },
    json: {
      takes: 'FILE',
      about: 'write all as one JSON object; - is standard output, then alone',
    },
    html: { takes: 'FILE', about: 'write the page' },
    at: { takes: 'TIME', about: 'look at the four seconds around this time of the take, as 12.5s' },
    from: { takes: 'TIME', about: 'look at the take from this time on' },
    to: { takes: 'TIME', about: 'look at the take up to this time' },
    apart: {
      takes: 'TIME',
      about:
        'how far apart a note may begin in A and B and still be the same [50ms, or more by the rules]',
    },
    ...FOLDER,
  },
  run,
};
