import { MILLISECOND, SECOND, type Micros } from '../time/micros.js';
import { followHum, humOf, newHum, type Hum, type Mains } from './hum.js';
import type { Thresholds } from './thresholds.js';

/**
 * How fast the rest follows what is at rest, and what lies between rest and touch for long. It lags by
 * what drift does in that time: a rest that wanders by a third of a span in two minutes (the worst units
 * of tests/sim; memory) does up to 6 % of a span in a second here and there, and three seconds of that
 * lifted noise over the threshold.
 */
const FOLLOW: Micros = SECOND;
const FOLLOW_BETWEEN: Micros = 12 * SECOND;
/** A level that stays under this share of the threshold is taken for rest. */
const QUIET = 0.6;
/** Whether it stays there is judged over about a cycle of the mains. */
const SMOOTH: Micros = 20 * MILLISECOND;
/** A reading this far on the other side of rest, for so long, is no touch: the rest was wrong. */
const FAR_SIDE = -0.2;
const FAR_SIDE_FOR: Micros = 60 * MILLISECOND;
/**
 * Fingers and neighbours only add: what stays under rest by this share of the threshold, as read and
 * smoothed, is a rest that was learned too high, as under a thumb that lay there. It follows this fast.
 */
const UNDER = 0.3;
const FOLLOW_UNDER: Micros = 150 * MILLISECOND;
/**
 * A finger leaves within some milliseconds. Where a held level falls to less than this share of
 * where it had settled, quickly, and stays there so long, the finger has gone, and what is left is
 * drift that came while it was down: the rest is taken again.
 */
const LEFT = 0.35;
const LEFT_FOR: Micros = 20 * MILLISECOND;
/** Less than this share of the lower threshold is left to the slow following. */
const REMAINS = 0.5;
/** A held level that changes more slowly than this is a finger that eases off. */
const SETTLE: Micros = 80 * MILLISECOND;
/**
 * The noise is what moves around the middle of the latest readings, not around rest: where the rest
 * is wrong, that is no noise, and must not raise the thresholds over the touches that would show it.
 */
const MIDDLE: Micros = 100 * MILLISECOND;
/** The noise is followed more slowly still. */
const FOLLOW_NOISE: Micros = 2 * SECOND;
/**
 * What the noise begins with was measured with the hum in it, and would take some seconds to come down.
 * Once the hum is known, so long a look at rest says how much is left. It only ever lowers the noise,
 * and once: a noise that grew as quickly would grow with a finger that is laid down, and hide it.
 * Readings too slow for the hum to be followed are also too few for such a look. Both times are by
 * trial; without the look, the delay of 99 % of notes is 3 to 7 ms longer on three of twenty worst
 * units of tests/sim.
 */
const HUM_KNOWN: Micros = 200 * MILLISECOND;
const LOOK: Micros = 500 * MILLISECOND;
/**
 * A wild reading, such as the first ones of a touch, counts for no more than this many deviations,
 * on either side: leaving out what is far on one side only would push the rest to the other.
 */
const WILD = 4;
/** A step this long without a reading counts as one of this length, so that rest never jumps. */
const LONGEST_STEP: Micros = 100 * MILLISECOND;
/** Whole numbers alone flicker by this much: the deviation of a rounding error, 1/√12. */
const LEAST_SIGMA = 0.29;

/**
 * What is known of one pad at rest, in raw counts, and how it moves.
 *
 * The rest follows slow drift while nothing touches the pad and stands still while something does,
 * however long it lasts (tracking stops while a sensor is touched: common advice of sensor makers,
 * Microchip). A rest that was learned with a finger on the pad shows as a reading that stays on the
 * far side, and is taken again (recalibration on a negative delta, same source).
 */
export interface Rest {
  value: number;
  readonly hum: Hum;
  /** The standard deviation of what is left when rest and hum are taken out. */
  sigma: number;
  /** The same around rest, which is wider while the rest is wrong. */
  spread: number;
  /** When the pad was last heard of; NaN before. */
  seen: Micros;
  /** How long it was watched at rest, and what the noise of the first look at it adds up to. */
  watched: Micros;
  lookSum: number;
  lookCount: number;
  /** The level, smoothed, and the same as read. */
  smooth: number;
  under: number;
  /** The pad's own change while nothing touches it, smoothed. */
  middle: number;
  touched: boolean;
  /** Where the level of a touch has settled. */
  settled: number;
  /** Since when the level has been far under that, and the sums and count of what was read since. */
  leftSince: Micros;
  leftSum: number;
  leftLevels: number;
  leftCount: number;
  /** Since when, and with which raw value last, the pad has read on the far side of rest. */
  farSince: Micros;
  farRaw: number;
}

export function restAt(value: number, sigma: number): Rest {
  return {
    value,
    hum: newHum(),
    sigma: Math.max(LEAST_SIGMA, sigma),
    spread: Math.max(LEAST_SIGMA, sigma),
    seen: NaN,
    watched: 0,
    lookSum: 0,
    lookCount: 0,
    smooth: 0,
    under: 0,
    middle: 0,
    touched: false,
    settled: 0,
    leftSince: NaN,
    leftSum: 0,
    leftLevels: 0,
    leftCount: 0,
    farSince: NaN,
    farRaw: 0,
  };
}

/**
 * How far a reading at the time of `mains` is from rest, in raw counts, hum taken out. Where the far
 * side has lasted long enough the rest is taken again first: a wire that tells only changes stays
 * silent meanwhile, so the last value counts until now.
 */
export function changeOf(rest: Rest, raw: number, mains: Mains): number {
  if (mains.t - rest.farSince >= FAR_SIDE_FOR) {
    rest.value = rest.farRaw;
    rest.farSince = NaN;
  }
  return raw - rest.value - humOf(rest.hum, mains);
}

/**
 * Moves the rest after a reading was judged.
 *
 * @param raw the reading itself
 * @param own the pad's own change, in raw counts: hum and neighbours taken out
 * @param level the same as a level
 * @param read the level as read, with what neighbours put on it
 */
export function followRest(
  rest: Rest,
  raw: number,
  own: number,
  level: number,
  read: number,
  mains: Mains,
  { on, off }: Thresholds,
): void {
  const { t } = mains;
  const since = t - rest.seen;
  const step = since <= LONGEST_STEP ? since : LONGEST_STEP;
  rest.seen = t;
  rest.smooth += ((level - rest.smooth) * step) / (SMOOTH + step);
  rest.under += ((read - rest.under) * step) / (SMOOTH + step);
  if (level < FAR_SIDE && level < -0.5 * on) {
    if (Number.isNaN(rest.farSince)) rest.farSince = t;
    rest.farRaw = raw;
  } else rest.farSince = NaN;
  if (rest.touched || !Number.isNaN(rest.leftSince)) {
    followTouch(rest, t, own, level, step, off);
    return;
  }
  if (level >= on) {
    rest.touched = true;
    rest.settled = level;
    return;
  }
  const most = WILD * rest.spread;
  const left = Math.min(most, Math.max(-most, own));
  if (rest.smooth >= QUIET * on) {
    rest.value += (left * step) / (FOLLOW_BETWEEN + step);
    return;
  }
  if (rest.under < -UNDER * on && read < 0 && level < 0) {
    rest.value += ((own / level) * read * step) / (FOLLOW_UNDER + step);
  } else rest.value += (left * step) / (FOLLOW + step);
  const followed = followHum(rest.hum, mains, left, since);
  const wide = Math.min(most, Math.max(-most, own - rest.middle));
  rest.middle += ((own - rest.middle) * step) / (MIDDLE + step);
  rest.spread = followDeviation(rest.spread, left, step);
  rest.sigma = followDeviation(rest.sigma, wide, step);
  if (followed && rest.watched < HUM_KNOWN + LOOK) lookAt(rest, own - rest.middle, step);
}

/** Looks at the noise for the first time. */
function lookAt(rest: Rest, off: number, step: Micros): void {
  rest.watched += step;
  if (rest.watched < HUM_KNOWN) return;
  rest.lookSum += off * off;
  rest.lookCount += 1;
  if (rest.watched < HUM_KNOWN + LOOK) return;
  const seen = Math.max(LEAST_SIGMA, Math.sqrt(rest.lookSum / rest.lookCount));
  rest.sigma = Math.min(rest.sigma, seen);
  rest.spread = Math.min(rest.spread, seen);
}

function followDeviation(sigma: number, off: number, step: Micros): number {
  const next = sigma * sigma + ((off * off - sigma * sigma) * step) / (FOLLOW_NOISE + step);
  return Math.max(LEAST_SIGMA, Math.sqrt(next));
}

/** Follows a held level, and takes the rest again where the finger has gone without it showing. */
function followTouch(
  rest: Rest,
  t: Micros,
  own: number,
  level: number,
  step: Micros,
  off: number,
): void {
  if (level >= LEFT * rest.settled) {
    rest.leftSince = NaN;
    const rises = level > rest.settled;
    rest.settled = rises ? level : rest.settled + ((level - rest.settled) * step) / (SETTLE + step);
    // A finger that eases off slowly is gone in the end as well.
    rest.touched = rest.settled >= off;
    return;
  }
  if (Number.isNaN(rest.leftSince)) {
    rest.leftSince = t;
    rest.leftSum = 0;
    rest.leftLevels = 0;
    rest.leftCount = 0;
  }
  rest.leftSum += own;
  rest.leftLevels += level;
  rest.leftCount += 1;
  if (t - rest.leftSince < LEFT_FOR) return;
  const remains = rest.leftLevels / rest.leftCount;
  if (remains >= REMAINS * off) rest.value += rest.leftSum / rest.leftCount;
  rest.leftSince = NaN;
  rest.touched = false;
}
