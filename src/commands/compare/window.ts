import { formatDuration, MILLISECOND, SECOND, type Micros } from '../../time/micros.js';
import { timeOf, UsageFault, type Call } from '../cli.js';
import type { Window } from '../../compare/run.js';
import { USUAL } from '../../compare/window.js';
import { timeWords } from '../../compare/words.js';

/** Less than this is shorter than any note. */
const SHORTEST: Micros = 10 * MILLISECOND;

/** More than this no page can show. */
const LONGEST: Micros = 3_600 * SECOND;

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
  if (window.to - window.from > LONGEST) {
    throw new UsageFault(`--to may be at most ${formatDuration(LONGEST)} later than --from`);
  }
  return { window, option: from === undefined ? 'to' : 'from', begins: window.from };
}

export function windowWithin(asked: WindowAsked | null, length: Micros): Window | null {
  if (!asked || asked.begins <= length) return asked?.window ?? null;
  throw new UsageFault(`--${asked.option} is after the end of the take, at ${timeWords(length)}`);
}
