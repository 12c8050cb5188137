import { MILLISECOND, type Micros } from '../time/micros.js';
import { NEXT } from './thresholds.js';
import type { TouchState } from './touch-table.js';

/** One pad while it is touched or waits for it. Changed in place by the touches stage. */
export interface PadTouch {
  state: TouchState;
  onset: Micros;
  /** The last level, the one before it, and the last one before the touch's first reading. */
  level: number;
  earlier: number;
  before: number;
  /** Levels from the touch's first reading on, while rising: that of the onset, or the one before it. */
  readonly rise: number[];
  /** Since when the level has not been near rest; NaN while it is. */
  risen: Micros;
  /** How many readings it has not been so, without having reached the threshold. */
  steps: number;
  /** How long the finger was on its way to the threshold, at least: what readings show of it. */
  landing: Micros;
  /** How far the scale of its levels is known, 0 to 1. */
  known: number;
  /** Where a held level has settled, and when it was last looked at. */
  settled: number;
  seen: Micros;
}

export function newPadTouch(): PadTouch {
  return {
    state: 'blocked',
    onset: 0,
    level: 0,
    earlier: 0,
    before: 0,
    rise: [],
    risen: NaN,
    steps: 0,
    landing: 0,
    known: 1,
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

/** From this share of the threshold on, and from so many deviations of the noise, a finger shows. */
const SHOWS = 0.4;
const SHOWS_OVER_NOISE = 3;
/** Under half of that it does not show any more; between, noise alone may have lowered a reading. */
const GONE = 0.5;

/** Notes since when a finger has been showing, under the threshold. */
export function followRise(pad: PadTouch, t: Micros, on: number, noise: number): void {
  const shows = Math.max(SHOWS * on, SHOWS_OVER_NOISE * noise);
  if (pad.level < GONE * shows) {
    pad.risen = NaN;
    pad.steps = 0;
  } else if (pad.level >= shows || pad.steps > 0) {
    if (Number.isNaN(pad.risen)) pad.risen = t;
    pad.steps += 1;
  }
}

/** How long a touch that begins at `t` was seen coming. One reading alone says little: the next may be lost. */
export function landingOf({ risen, steps }: PadTouch, t: Micros): Micros {
  return steps < 2 ? 0 : t - risen;
}

/** When a finger that strikes first showed. One that was laid down shows long before: its onset counts. */
export function contactOf({ risen, onset }: PadTouch): Micros {
  return onset - risen <= PLUCKS_LAND ? risen : onset;
}

/**
 * Whether the last reading was already of the touch that another one now shows: not over the threshold
 * of its noise alone, but far enough over it for two readings that both are.
 */
export function isFirst({ level, risen }: PadTouch, t: Micros, noise: number): boolean {
  return t - risen <= PLUCKS_LAND && level >= NEXT * noise;
}

/** A finger that is this many times over the threshold by its strike has struck. */
const STRUCK = 2;
/**
 * A finger that is laid down takes 80 ms or more (as slowly as thumbs come to rest; memory), and is at
 * 2x − x² of its way at the share x of its time. One that is further by more than the noise has struck.
 * It was there for a scan at most before it showed; what it comes to is not a full touch, which
 * leaves room for a sensor whose response is not linear, with CURVED more (a choice, no source). From
 * half a full touch on it has struck in any case: 36 % of the way takes 16 ms.
 */
const LAID_DOWN: Micros = 80 * MILLISECOND;
const UNSEEN: Micros = 4 * MILLISECOND;
const CURVED = 0.06;
const QUICK = 0.5;

function struckFrom(since: Micros, noise: number): number {
  const x = (since + UNSEEN) / LAID_DOWN;
  return Math.min(QUICK, x * (2 - x) + CURVED + noise);
}

/** One that crossed the threshold unseen, but is no further over it than this, may be laid down too. */
const WEAK = 1.5;
/** One that does not rise by more than this share from reading to reading has landed. */
const LANDED = 0.1;
/** The slowest pluck has landed in this time (about 15 ms); what is still landing then is laid down. */
const PLUCKS_LAND: Micros = 16 * MILLISECOND;

/**
 * Whether to look on before the strength is told: a finger that showed before it crossed the
 * threshold, that is still weak and still rises, may be one that is laid down. Updates how long its
 * landing took.
 */
export function isLanding(pad: PadTouch, t: Micros, on: number, noise: number): boolean {
  if (Number.isNaN(pad.risen) && pad.level >= WEAK * on) return false;
  const since = t - (Number.isNaN(pad.risen) ? pad.onset : pad.risen);
  if (pad.level >= STRUCK * on && pad.rise.length <= 2) {
    pad.landing = 0;
    return false;
  }
  if (since <= PLUCKS_LAND && pad.level >= struckFrom(since, noise)) {
    pad.landing = 0;
    return false;
  }
  const last = pad.rise.at(-2) ?? pad.before;
  if (pad.level - last < LANDED * pad.level - noise) return false;
  if (since < PLUCKS_LAND) return true;
  pad.landing = since;
  return false;
}
