import type { Build } from '../../../instrument/types.js';
import { virtualClock } from '../../../time/clock.js';
import type { Micros } from '../../../time/micros.js';
import type { WireEvent } from '../../../wire/scan.js';
import type { PageGuide } from '../../link/state.js';

/** What a guide that is on has come to. */
export type View = Pick<PageGuide, 'words' | 'asked' | 'done' | 'unfit'> & {
  readonly phase: 'letting-go' | 'touching';
};

/** How a guide ended by itself, or by being kept. */
export type GuideEnd =
  | { readonly build: Build; readonly words: string; readonly unfit: PageGuide['unfit'] }
  | { readonly fault: string };

/** One guide on its way. Times never fall. */
export interface Guiding {
  readonly order: readonly number[];
  /** What the seat's wire brings. */
  next(event: WireEvent): void;
  /** Time has passed. */
  tick(t: Micros): void;
  /** Returns why not, in words; null where it was done. */
  step(step: 'undo' | 'skip' | 'keep', t: Micros): string | null;
  readonly view: View;
  /** When something was touched last; NaN: nothing was. */
  readonly touchedLast: Micros;
  readonly end: GuideEnd | null;
}

/** Of each pad so many touches are kept: more make a calibration no better. */
export const TOUCHES_KEPT = 3;

/** A guide is told of time by events alone: it is never woken between them. */
export const guideClock = virtualClock;

/** That time has passed, for stages that only know readings. */
export const passing = (t: Micros): WireEvent => ({ type: 'scan', t, inputs: [], raws: [] });

/** Sentences, one after the other. */
export function sentences(...parts: readonly (string | undefined)[]): string {
  return parts
    .filter((part) => part !== undefined && part !== '')
    .map((part) => (/[.!?]$/.test(part!) ? part : `${part!}.`))
    .join(' ');
}

export const NOTHING_BACK = 'There is nothing to take back.';
export const ALL_DONE = 'All pads have had their turn: it is kept in a moment.';
export const LET_GO_FIRST = 'Let go of all pads first.';
