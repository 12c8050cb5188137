import type { Build } from '../instrument/types.js';
import { foundWords } from '../instrument/words.js';
import { REASONS, type Reason, type Reset } from '../time/events.js';
import type { Played, Scan, Swap, WireEvent } from '../wire/scan.js';
import { nestsTooDeep } from './nesting.js';
import { formatPlayed, parsePlayed } from './played.js';
import { formatSwap, parseSwap } from './swap.js';

/** The version of the take format that this program reads and writes. */
export const TAKE_VERSION = 1;

/** More inputs than any room of boards has; a larger number is a slip, or made to use up memory. */
export const MOST_INPUTS = 65_536;

/** The first line of a take. Other keys are kept as they are. */
export interface TakeHeader {
  readonly take: typeof TAKE_VERSION;
  /** How many inputs the board has. */
  readonly inputs: number;
  /** The raw value of full scale. */
  readonly full: number;
  /** The instrument's name, or the whole instrument as its file states it. */
  readonly instrument?: string | Readonly<Record<string, unknown>>;
  /** The build's name, or the whole build. */
  readonly build?: string | Build;
  /** Without a build, which pad each input is; left out: input n is pad n. */
  readonly wiring?: Build['wiring'];
  /** True where the board decides itself what is a touch (see PadsPlan). */
  readonly decided?: boolean;
  /** True where it holds notes that another computer made, instead of readings. */
  readonly made?: boolean;
  /** True where the board numbered its messages (see PadsPlan). */
  readonly numbered?: boolean;
  readonly [key: string]: unknown;
}

/** Something wrong in a take, in words, with its line counted from 1. */
export interface TakeProblem {
  readonly line: number;
  readonly what: string;
}

const isCount = (value: unknown): value is number =>
  typeof value === 'number' && Number.isSafeInteger(value) && value >= 0;

/** Reads the first line. A string is what is wrong with it. */
export function parseHeader(line: string): TakeHeader | string {
  if (line.includes('\0')) return NOT_UTF_8;
  if (nestsTooDeep(line)) return TOO_DEEP;
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return 'the first line is not JSON; a take starts with {"take":1,"inputs":20,"full":16383}';
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    return 'the first line is not a header; a take starts with {"take":1,"inputs":20,"full":16383}';
  }
  const header = value as Record<string, unknown>;
  if (header.take === undefined) return 'the header has no "take" key, so this is not a take';
  if (header.take !== TAKE_VERSION) {
    return `the take's version is ${foundWords(header.take)}; this program reads version ${String(TAKE_VERSION)}`;
  }
  if (!isCount(header.inputs) || header.inputs < 1 || header.inputs > MOST_INPUTS) {
    return `the header's "inputs" must be the number of inputs, 1 to ${String(MOST_INPUTS)}`;
  }
  if (!isCount(header.full) || header.full < 1) {
    return 'the header\'s "full" must be the raw value of full scale, 1 or more';
  }
  return header as unknown as TakeHeader;
}

/** Every second byte of UTF-16 text in English is 0, which UTF-8 text never holds. */
const NOT_UTF_8 =
  'it is not UTF-8 text: it seems to be saved as UTF-16, or is no text at all; ' +
  'if it is text, open it in an editor and save it as UTF-8';

const TOO_DEEP = 'it nests lists or groups deeper than any take does';

/**
 * Reads one further line: a scan, a note of another computer, files that were changed, or something
 * that happened. A string is what is wrong with it.
 */
export function parseTakeLine(line: string, header: TakeHeader, after: number): WireEvent | string {
  // A scan is a flat list: only what else a line may hold is looked through.
  if (!line.startsWith('[') && nestsTooDeep(line)) return TOO_DEEP;
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return 'it is not JSON';
  }
  if (!Array.isArray(value)) return parseHappening(value, after);
  const t: unknown = value[0];
  if (!isCount(t)) return 'it does not begin with a time in whole microseconds';
  if (t < after) return `its time ${String(t)} is before the line above it`;
  if (value.length % 2 === 0) return 'an input has no raw value';
  const count = (value.length - 1) >> 1;
  const inputs = new Array<number>(count);
  const raws = new Array<number>(count);
  for (let i = 0; i < count; i++) {
    const input: unknown = value[1 + 2 * i];
    const raw: unknown = value[2 + 2 * i];
    if (!isCount(input) || input >= header.inputs) {
      return `input ${foundWords(input)} is not one of the ${String(header.inputs)} inputs (0 to ${String(header.inputs - 1)})`;
    }
    if (!isCount(raw) || raw > header.full) {
      return `raw value ${foundWords(raw)} of input ${String(input)} is not a whole number from 0 to ${String(header.full)}`;
    }
    inputs[i] = input;
    raws[i] = raw;
  }
  return { type: 'scan', t, inputs, raws };
}

function parseHappening(value: unknown, after: number): Reset | Played | Swap | string {
  const { t, event, played, swap } = (value ?? {}) as Record<string, unknown>;
  if (!isCount(t)) return 'it is neither a scan nor an event';
  if (t < after) return `its time ${String(t)} is before the line above it`;
  if (played !== undefined) return parsePlayed(t, played);
  if (swap !== undefined) return parseSwap(t, swap);
  if (!REASONS.some((why) => why === event)) return 'it is neither a scan nor an event';
  return { type: 'reset', t, why: event as Reason };
}

export function formatHeader(header: TakeHeader): string {
  return JSON.stringify(header);
}

/** One line of a take, without its line end. The end itself is an empty scan: its time is kept. */
export function formatTakeLine(event: WireEvent): string {
  if (event.type === 'reset') {
    if (event.why === 'end') return `[${String(event.t)}]`;
    return JSON.stringify({ t: event.t, event: event.why });
  }
  if (event.type === 'played') return formatPlayed(event);
  if (event.type === 'swap') return formatSwap(event);
  return formatScan(event);
}

function formatScan({ t, inputs, raws }: Scan): string {
  let line = `[${String(t)}`;
  for (let i = 0; i < inputs.length; i++) line += `,${String(inputs[i])},${String(raws[i])}`;
  return `${line}]`;
}
