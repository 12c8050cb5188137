import { isAnotherNote, type Compared } from '../takes/compare.js';
import { begin } from '../takes/compare-match.js';
import { MILLISECOND, SECOND, type Micros } from '../time/micros.js';
import { timeOf, UsageFault, type Call } from './cli.js';
import type { Window } from './compare-run.js';
import { timeWords } from './compare-words.js';

/** About one bar of music: four beats at 60 a minute, two bars at 120. */
const USUAL: Micros = 4 * SECOND;
/** Less than this is shorter than any note. */
const SHORTEST: Micros = 10 * MILLISECOND;
/** What is looked at begins this long before its first difference. */
const BEFORE: Micros = SECOND;

/** What --at, or --from and --to, ask for, before the take's length is known. */
export interface WindowAsked {
  readonly window: Window;
  /** The option that must be within the take, and its time. */
  readonly option: string;
  readonly begins: Micros;
}

/** The stretch that the options ask for; null where none was asked for. */
export function windowAsked(call: Call): WindowAsked | null {
  const [from, to, at] = ['from', 'to', 'at'].map((option) => timeOf(call, option));
  if (at !== undefined) {
    if (from !== undefined || to !== undefined) {
      throw new UsageFault('give --at, or --from and --to, not both');
    }
    const begin = Math.max(0, at - USUAL / 2);
    return { window: { from: begin, to: begin + USUAL }, option: 'at', begins: at };
  }
  if (from === undefined && to === undefined) return null;
  const window = { from: from ?? Math.max(0, to! - USUAL), to: to ?? from! + USUAL };
  if (window.to - window.from < SHORTEST) {
    throw new UsageFault('--to must be later than --from, by 10ms at least');
  }
  return { window, option: from === undefined ? 'to' : 'from', begins: window.from };
}

export function windowWithin(asked: WindowAsked | null, length: Micros): Window | null {
  if (!asked || asked.begins <= length) return asked?.window ?? null;
  throw new UsageFault(`--${asked.option} is after the end of the take, at ${timeWords(length)}`);
}

/** Where to look first where nothing was asked for: the first thing that differs, best one that is heard. */
export function windowOfInterest(notes: readonly Compared[], length: Micros): Window {
  const first =
    notes.find(isAnotherNote) ?? notes.find(({ changes }) => changes.length > 0) ?? notes[0];
  const from = Math.max(0, Math.min((first ? begin(first) : 0) - BEFORE, length - USUAL));
  return { from, to: from + USUAL };
}
