import { MILLISECOND, type Micros } from '../time/micros.js';
import type { TouchState } from './touch-table.js';

/** One pad while it is touched or waits for it. Changed in place by the touches stage. */
export interface PadTouch {
  state: TouchState;
  onset: Micros;
  /** The last level, and the last one before the onset. */
  level: number;
  before: number;
  /** Levels from the onset on, while rising. */
  readonly rise: number[];
  /** Since when the level has not been near rest; NaN while it is. */
  risen: Micros;
  /** How many readings it has not been so, without having reached the threshold. */
  steps: number;
  /** How long the finger was on its way to the threshold, at least: what readings show of it. */
  landing: Micros;
  /** Where a held level has settled, and when it was last looked at. */
  settled: number;
  seen: Micros;
}

export function newPadTouch(): PadTouch {
  return {
    state: 'blocked',
    onset: 0,
    level: 0,
    before: 0,
    rise: [],
    risen: NaN,
    steps: 0,
    landing: 0,
    settled: 0,
    seen: 0,
  };
}

/** A held level settles within about this time. */
const SETTLE: Micros = 80 * MILLISECOND;

/** For so long after an onset a finger may still be landing, and whatever rises is its own touch. */
const LANDING: Micros = 60 * MILLISECOND;

/** Follows where a held level settles, and gives how far this reading jumped up from there. */
export function jumpOf(pad: PadTouch, t: Micros, level: number): number {
  const step = t - pad.seen;
  pad.seen = t;
  if (t - pad.onset < LANDING) {
    pad.settled = Math.max(pad.settled, level);
    return 0;
  }
  const jump = level - pad.settled;
  pad.settled += (jump * step) / (SETTLE + step);
  return jump;
}

/** A pad that is not touched reads near rest, or not. */
export function followRise(pad: PadTouch, t: Micros, nearRest: boolean): void {
  if (nearRest) {
    pad.risen = NaN;
    pad.steps = 0;
  } else {
    if (Number.isNaN(pad.risen)) pad.risen = t;
    pad.steps += 1;
  }
}

/** How long a touch that begins at `t` was seen coming. One reading alone says little: the next may be lost. */
export function landingOf({ risen, steps }: PadTouch, t: Micros): Micros {
  return steps < 2 ? 0 : t - risen;
}
