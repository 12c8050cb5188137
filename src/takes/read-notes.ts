import { foundWords } from '../instrument/words.js';
import type { VoiceEvent } from '../room/voice.js';
import type { Micros } from '../time/micros.js';
import { withoutMark } from './read.js';
import type { TakeProblem } from './take.js';

/** One note as a list of notes has it, wanted or played; null is what the list does not say. */
export interface ListedNote {
  readonly onset: Micros;
  readonly offset: Micros | null;
  /** MIDI note number, 0 to 127. */
  readonly note: number;
  /** 1 to 127. */
  readonly velocity: number | null;
  /** How hard the touch is or was, 0 to 1. */
  readonly strength: number | null;
  /** Counted from 0. */
  readonly string: number | null;
}

/** What a notes file holds, and its lines that could not be read and were left out. */
export interface NotesRead {
  readonly notes: readonly ListedNote[];
  readonly problems: readonly TakeProblem[];
}

const EXAMPLE = '{"t":1043000,"type":"on","note":33,"velocity":96}';

type Draft = { -readonly [Key in keyof ListedNote]: ListedNote[Key] };
type Line = Readonly<Record<string, unknown>>;

/** Thrown for one line, caught where lines are counted. */
class BadLine extends Error {}

/**
 * Reads a notes file: one JSON object a line, `on` and `off`, as running a take again prints them.
 *
 * A file of wanted notes may say less and more: its `on` lines may carry `strength` (0 to 1) instead
 * of or beside `velocity`, and a `duration` in microseconds instead of an `off` line. An `off` ends
 * the earliest sounding note of its `voice`, or of its `note` where lines name no voice. Other keys
 * are ignored, empty lines passed over; lines need not be in the order of time, the notes are.
 */
export function readNotes(text: string): NotesRead {
  const notes: Draft[] = [];
  const problems: TakeProblem[] = [];
  const sounding = new Map<string, Draft[]>();
  const lines = withoutMark(text).split('\n');
  lines.forEach((content, i) => {
    if (content.trim() === '') return;
    try {
      const line = parse(content, i === lines.length - 1);
      if (line.type === 'on') begin(line, notes, sounding);
      else end(line, sounding);
    } catch (error) {
      if (!(error instanceof BadLine)) throw error;
      problems.push({ line: i + 1, what: error.message });
    }
  });
  return { notes: notes.sort((a, b) => a.onset - b.onset), problems };
}

/** The notes among what engines are told, in the order of their onsets. */
export function notesOf(events: Iterable<VoiceEvent>): ListedNote[] {
  const notes = new Map<number, Draft>();
  for (const event of events) {
    if (event.type === 'on') {
      const { t, note, velocity, strength, string } = event;
      notes.set(event.voice, { onset: t, offset: null, note, velocity, strength, string });
    } else if (event.type === 'off') {
      const begun = notes.get(event.voice);
      if (begun) begun.offset = event.t;
    }
  }
  return [...notes.values()];
}

/** What a file is, by its first line that is not empty; an empty file is a list of no notes. */
export function kindOfFile(text: string): 'take' | 'notes' | 'neither' {
  const first = /\S[^\n]*/.exec(withoutMark(text))?.[0];
  if (first === undefined) return 'notes';
  try {
    const { take, type } = (JSON.parse(first) ?? {}) as Line;
    if (take !== undefined) return 'take';
    return type === 'on' || type === 'off' ? 'notes' : 'neither';
  } catch {
    return 'neither';
  }
}

function parse(content: string, last: boolean): Line {
  let value: unknown;
  try {
    value = JSON.parse(content);
  } catch {
    // A whole line ends in a line end, so a broken one without it was still being written.
    if (last) throw new BadLine('the last line is cut off; it was left out');
    throw bad('it is not JSON');
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw bad(`it is not a note, such as ${EXAMPLE}`);
  }
  const line = value as Line;
  if (line.type === 'on' || line.type === 'off') return line;
  throw bad(`its "type" must be "on" or "off", found ${foundWords(line.type)}`);
}

function begin(line: Line, notes: Draft[], sounding: Map<string, Draft[]>): void {
  const onset = timeOf(line);
  const duration = optional(line, 'duration', isCount, 'whole microseconds, 0 or more');
  const note: Draft = {
    onset,
    offset: duration === null ? null : onset + duration,
    note: noteOf(line),
    velocity: optional(line, 'velocity', isIn(1, 127), 'a whole number from 1 to 127'),
    strength: optional(line, 'strength', isStrength, 'a number from 0 to 1'),
    string: optional(line, 'string', isCount, 'the number of a string, counted from 0'),
  };
  notes.push(note);
  if (duration !== null) return;
  const key = keyOf(line);
  const queue = sounding.get(key);
  if (queue) queue.push(note);
  else sounding.set(key, [note]);
}

function end(line: Line, sounding: Map<string, Draft[]>): void {
  const t = timeOf(line);
  const key = keyOf(line);
  const queue = sounding.get(key);
  const note = queue?.[0];
  if (!queue || !note) throw bad(`it ends ${key}, which is not sounding`);
  if (t < note.onset) throw bad(`it ends ${key} before it begins`);
  note.offset = t;
  queue.shift();
}

/** What joins an `off` with its `on`, in words. */
function keyOf(line: Line): string {
  const voice = optional(line, 'voice', isCount, 'a whole number, 0 or more');
  return voice === null ? `note ${String(noteOf(line))}` : `voice ${String(voice)}`;
}

function timeOf(line: Line): Micros {
  return required(line, 't', isCount, 'a time in whole microseconds, 0 or more');
}

function noteOf(line: Line): number {
  return required(line, 'note', isIn(0, 127), 'a MIDI note number, a whole number from 0 to 127');
}

type Check = (value: number) => boolean;

const isCount: Check = (value) => Number.isSafeInteger(value) && value >= 0;
const isStrength: Check = (value) => value >= 0 && value <= 1;
const isIn =
  (least: number, most: number): Check =>
  (value) =>
    Number.isInteger(value) && value >= least && value <= most;

function required(line: Line, key: string, check: Check, allowed: string): number {
  const value = line[key];
  if (typeof value === 'number' && check(value)) return value;
  throw bad(`its "${key}" must be ${allowed}, found ${foundWords(value)}`);
}

function optional(line: Line, key: string, check: Check, allowed: string): number | null {
  return line[key] === undefined || line[key] === null ? null : required(line, key, check, allowed);
}

function bad(why: string): BadLine {
  return new BadLine(`${why}; the line was left out`);
}
