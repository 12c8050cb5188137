import { isAnotherNote, type Compared } from '../takes/compare.js';
import { begin } from '../takes/compare-match.js';
import { MILLISECOND, parseDuration, SECOND, type Micros } from '../time/micros.js';
import { textOf, UsageFault, type Call } from './cli.js';
import type { Window } from './compare-run.js';
import { timeWords } from './compare-words.js';

/** About one bar of music: four beats at 60 a minute, two bars at 120. */
const USUAL: Micros = 4 * SECOND;
/** Less than this is shorter than any note. */
const SHORTEST: Micros = 10 * MILLISECOND;
/** What is looked at begins this long before its first difference. */
const BEFORE: Micros = SECOND;

/** The stretch that --at, or --from and --to, ask for; null where none was asked for. */
export function windowAsked(call: Call, length: Micros): Window | null {
  const [from, to, at] = ['from', 'to', 'at'].map((option) => timeOf(call, option));
  if (at !== undefined) {
    if (from !== undefined || to !== undefined) {
      throw new UsageFault('give --at, or --from and --to, not both');
    }
    return within('at', around(at), at, length);
  }
  if (from === undefined && to === undefined) return null;
  const window = {
    from: from ?? Math.max(0, to! - USUAL),
    to: to ?? from! + USUAL,
  };
  if (window.to - window.from < SHORTEST) {
    throw new UsageFault('--to must be later than --from, by 10ms at least');
  }
  return within(from === undefined ? 'to' : 'from', window, from ?? 0, length);
}

/** Where to look first where nothing was asked for: the first thing that differs, best one that is heard. */
export function windowOfInterest(notes: readonly Compared[], length: Micros): Window {
  const first =
    notes.find(isAnotherNote) ?? notes.find(({ changes }) => changes.length > 0) ?? notes[0];
  const from = Math.max(0, Math.min((first ? begin(first) : 0) - BEFORE, length - USUAL));
  return { from, to: from + USUAL };
}

function around(at: Micros): Window {
  const from = Math.max(0, at - USUAL / 2);
  return { from, to: from + USUAL };
}

function within(option: string, window: Window, begins: Micros, length: Micros): Window {
  if (begins <= length) return window;
  throw new UsageFault(`--${option} is after the end of the take, at ${timeWords(length)}`);
}

function timeOf(call: Call, option: string): Micros | undefined {
  const text = textOf(call, option);
  if (text === undefined) return undefined;
  const time = parseDuration(text);
  if (time !== undefined) return time;
  throw new UsageFault(`--${option} takes a time with its unit, such as 12.5s, not "${text}"`);
}
