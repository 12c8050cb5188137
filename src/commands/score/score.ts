import { readNoteFile, type NoteFile } from '../../ports/takes/note-file.js';
import { align, moved, type Alignment } from '../../score/align.js';
import { notesOf, type ListedNote } from '../../takes/read-notes.js';
import { ONSET_WITHIN, score, type Score } from '../../score/score.js';
import { formatDuration, SECOND, type Micros } from '../../time/micros.js';
import { EXIT, FOLDER, Failure, textOf, UsageFault } from '../cli.js';
import type { Call, Command, Exit } from '../cli.js';
import { durationOf } from '../record.js';
import { runTake, voicesOf } from '../rerun/take.js';
import { counted, reportLines } from './words.js';
import { openTakeOf, TAKE_OPTIONS } from '../take-options.js';

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
  const wanted = await wantedNotes(wantedPath, call);
  const played = await playedNotes(path, call);
  const asked = call.values.align === true;
  const best = asked ? align(wanted.notes, played.notes, within) : null;
  if (asked && !best) {
    const what = 'The wanted notes fit nowhere, so they were not moved';
    call.tell({ level: 'warn', what, where: path });
  }
  const moves = best?.shift ?? 0;
  const result = score(moved(wanted.notes, moves), played.notes, within);
  const better = asked ? null : betterBy(result, wanted.notes, played.notes, within);
  if (call.values.json === true) {
    call.say(JSON.stringify({ ...asJson(result, within, wanted, played), moved: moves, better }));
  } else {
    const alignment = { moved: best && moves, better };
    for (const line of reportLines(result, formatDuration(within), alignment)) call.say(line);
  }
  return EXIT.done;
}

/** Where wanted notes fit that are right elsewhere in the take: whoever plays begins at any time. */
function betterBy(
  { matched }: Score,
  wanted: readonly ListedNote[],
  played: readonly ListedNote[],
  within: Micros,
): Alignment | null {
  if (matched.length > wanted.length / 2) return null;
  const best = align(wanted, played, within);
  // Any two tunes have some notes in common somewhere.
  const enough =
    best !== null && best.right >= wanted.length / 2 && best.right > 2 * matched.length;
  return enough && best.shift !== 0 ? best : null;
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
 * Reads a file of wanted notes, telling of what cannot be read, and where none are wanted.
 *
 * @throws Failure or TakeFileFault where it cannot be read, is a take, or no line of it is a note
 */
export async function wantedNotes(path: string, call: Call): Promise<Listed> {
  const file = await readNoteFile(path);
  if (file.kind === 'take') {
    throw new Failure(
      `${path}: this is a take, not wanted notes; make notes of it with ` +
        `"pluckwork rerun ${path} --notes FILE"`,
    );
  }
  const listed = listNotes(path, file, call);
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
  const file = await readNoteFile(path);
  if (file.kind === 'take') {
    const { events, leftOut } = await voicesOf(runTake(await openTakeOf(call), call));
    return { notes: notesOf(events), leftOut };
  }
  if (file.kind === 'neither' && !file.empty) {
    throw new Failure(
      `${path}: this is neither a take, which starts like {"take":1,"inputs":20,"full":16383}, ` +
        `nor notes, which start like ${EXAMPLE}, nor a MIDI file`,
    );
  }
  const idle = Object.keys(TAKE_OPTIONS).find((name) => call.values[name] !== undefined);
  if (idle !== undefined) {
    throw new UsageFault(`--${idle} is for running a take, but ${path} is a notes file`);
  }
  if (file.empty) {
    call.tell({ level: 'warn', what: 'the file is empty: nothing was played', where: path });
  }
  return listNotes(path, file, call);
}

function listNotes(path: string, { notes, problems, percussion }: NoteFile, call: Call): Listed {
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
  if (percussion > 0) {
    const what = `${counted(percussion, 'note')} of channel 10, which is percussion, ${percussion === 1 ? 'was' : 'were'} left out`;
    call.tell({ level: 'info', what, where: path });
  }
  return { notes, leftOut: problems.length };
}

/** What --json writes: the score with its counts. All times are in microseconds. */
export interface ScoreJson extends Score {
  readonly window: Micros;
  readonly wanted: number;
  readonly played: number;
  readonly right: number;
  /** By how much the wanted notes were moved, later if above 0. */
  readonly moved: Micros;
  /** By how much they would have to be moved, where many more of them would be right then. */
  readonly better: Alignment | null;
  /** How many lines of each side could not be read. */
  readonly leftOut: { readonly wanted: number; readonly played: number };
}

function asJson(
  result: Score,
  within: Micros,
  wanted: Listed,
  played: Listed,
): Omit<ScoreJson, 'moved' | 'better'> {
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
line; or it is a Standard MIDI File, whose channel 10 (percussion) only counts where there is nothing
else. Times count from the start of the take, unless --align finds where in it they begin. TAKE may also be such a notes file. A note is right
where its pitch is the wanted one and it begins within the window; each note counts once.
Shares are rounded down, so that 1.000 means all.`,
  words: 1,
  options: {
    wanted: { takes: 'NOTES', about: 'the notes that should have sounded' },
    window: { takes: 'TIME', about: 'how early or late a right note may begin [50ms]' },
    align: { about: 'find where in the take its wanted notes begin' },
    json: { about: 'write one JSON object, times in microseconds, with every note' },
    ...TAKE_OPTIONS,
    ...FOLDER,
  },
  run,
};
