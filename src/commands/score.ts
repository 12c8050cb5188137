import { readFileSync } from 'node:fs';
import { constants, gunzipSync } from 'node:zlib';
import { fileTrouble, TakeFileFault } from '../ports/take-file.js';
import { kindOfFile, notesOf, readNotes, type ListedNote } from '../takes/read-notes.js';
import { ONSET_WITHIN, score, type Score } from '../takes/score.js';
import { formatDuration, SECOND, type Micros } from '../time/micros.js';
import { EXIT, FOLDER, Failure, textOf, UsageFault } from './cli.js';
import type { Call, Command, Exit } from './cli.js';
import { durationOf } from './record.js';
import { runTake, voicesOf } from './rerun-take.js';
import { reportLines } from './score-words.js';
import { openTakeOf, TAKE_OPTIONS } from './take-options.js';

/** Beyond this the window says nothing of playing in time. */
const WIDEST = SECOND;
/** More bad lines of one file are counted, not told. */
const MOST_TOLD = 10;
const EXAMPLE = '{"t":1043000,"type":"on","note":33,"velocity":96}';

export interface Listed {
  readonly notes: readonly ListedNote[];
  /** How many lines could not be read. */
  readonly leftOut: number;
}

async function run(call: Call): Promise<Exit> {
  const [path] = call.words;
  if (path === undefined) throw new UsageFault('the take, or a notes file, is missing');
  const wantedPath = textOf(call, 'wanted');
  if (wantedPath === undefined) {
    throw new UsageFault('--wanted is missing: name the notes file to compare with');
  }
  const within = windowOf(call);
  const wanted = wantedNotes(wantedPath, call);
  const played = await playedNotes(path, call);
  const result = score(wanted.notes, played.notes, within);
  if (call.values.json === true) {
    call.say(JSON.stringify(asJson(result, within, wanted, played)));
  } else {
    for (const line of reportLines(result, formatDuration(within))) call.say(line);
  }
  return EXIT.done;
}

function windowOf(call: Call): Micros {
  if (textOf(call, 'window') === undefined) return ONSET_WITHIN;
  const within = durationOf(call, 'window');
  if (within <= WIDEST) return within;
  throw new UsageFault(
    `--window takes at most ${formatDuration(WIDEST)}; the definition says 50ms`,
  );
}

/**
 * Reads a file of wanted notes, telling of lines that cannot be read, and where none are wanted.
 *
 * @throws Failure or TakeFileFault where it cannot be read, is a take, or no line of it is a note
 */
export function wantedNotes(path: string, call: Call): Listed {
  const text = unpacked(path);
  if (kindOfFile(text) === 'take') {
    throw new Failure(
      `${path}: this is a take, not wanted notes; make notes of it with ` +
        `"pluckwork rerun ${path} --notes FILE"`,
    );
  }
  const listed = listNotes(path, text, call);
  if (listed.notes.length === 0) {
    call.tell({
      level: 'warn',
      what: 'no notes are wanted, so that every played note counts as added and F is 0',
      where: path,
    });
  }
  return listed;
}

async function playedNotes(path: string, call: Call): Promise<Listed> {
  const text = unpacked(path);
  const kind = kindOfFile(text);
  if (kind === 'notes') {
    const idle = Object.keys(TAKE_OPTIONS).find((name) => call.values[name] !== undefined);
    if (idle === undefined) {
      if (text.trim() === '') {
        call.tell({ level: 'warn', what: 'the file is empty: nothing was played', where: path });
      }
      return listNotes(path, text, call);
    }
    throw new UsageFault(`--${idle} is for running a take, but ${path} is a notes file`);
  }
  if (kind === 'neither') {
    throw new Failure(
      `${path}: this is neither a take, which starts like {"take":1,"inputs":20,"full":16383}, ` +
        `nor notes, which start like ${EXAMPLE}`,
    );
  }
  const { events, leftOut } = await voicesOf(runTake(await openTakeOf(call), call));
  return { notes: notesOf(events), leftOut };
}

function listNotes(path: string, text: string, call: Call): Listed {
  const { notes, problems } = readNotes(text);
  const [first] = problems;
  if (first && notes.length === 0) {
    throw new Failure(
      `${path}: no line of it is a note, such as ${EXAMPLE}; ` +
        `line ${String(first.line)}: ${first.what}`,
    );
  }
  for (const { line, what } of problems.slice(0, MOST_TOLD)) {
    call.tell({ level: 'warn', what, where: `${path}:${String(line)}` });
  }
  if (problems.length > MOST_TOLD) {
    const more = String(problems.length - MOST_TOLD);
    call.tell({ level: 'warn', what: `${more} more lines were left out`, where: path });
  }
  return { notes, leftOut: problems.length };
}

/** The text of a file, gzipped or not, as `rerun --notes` and `record` write them. */
function unpacked(path: string): string {
  try {
    const bytes = readFileSync(path);
    const packed = bytes[0] === 0x1f && bytes[1] === 0x8b;
    const text = packed ? gunzipSync(bytes, { finishFlush: constants.Z_SYNC_FLUSH }) : bytes;
    return text.toString('utf8');
  } catch (error) {
    throw new TakeFileFault(`${path}: ${fileTrouble(error)}`);
  }
}

/** What --json writes: the score with its counts. All times are in microseconds. */
export interface ScoreJson extends Score {
  readonly window: Micros;
  readonly wanted: number;
  readonly played: number;
  readonly right: number;
  /** How many lines of each side could not be read. */
  readonly leftOut: { readonly wanted: number; readonly played: number };
}

function asJson(result: Score, within: Micros, wanted: Listed, played: Listed): ScoreJson {
  const { matched, missed, added, ...figures } = result;
  return {
    window: within,
    wanted: wanted.notes.length,
    played: played.notes.length,
    right: matched.length,
    ...figures,
    leftOut: { wanted: wanted.leftOut, played: played.leftOut },
    missed,
    added,
    matched,
  };
}

export const scoreCommand: Command = {
  name: 'score',
  summary: 'compare a take with the notes that were wanted',
  usage: ['score TAKE --wanted NOTES [OPTIONS]'],
  about: `Runs a take again and tells how well its notes are the wanted ones: which were missed or
added, how late they began, and whether hard and soft touches came out so. NOTES has one JSON
object a line, as "rerun --notes" writes them; a wanted note may be an "on" line alone, with
"strength" (0 to 1) instead of "velocity" and "duration" in microseconds instead of an "off"
line. Times count from the start of the take. TAKE may also be such a notes file. A note is right
where its pitch is the wanted one and it begins within the window; each note counts once.
Shares are rounded down, so that 1.000 means all.`,
  words: 1,
  options: {
    wanted: { takes: 'NOTES', about: 'the notes that should have sounded' },
    window: { takes: 'TIME', about: 'how early or late a right note may begin [50ms]' },
    json: { about: 'write one JSON object, times in microseconds, with every note' },
    ...TAKE_OPTIONS,
    ...FOLDER,
  },
  run,
};
