import { MILLISECOND, SECOND, type Micros } from '../time/micros.js';

/**
 * How a pad's rest follows slow drift.
 *
 * Under QUIET of a full touch the reading is taken for rest and followed slowly. From there on it
 * is taken for a touch and the rest stands still, however long the touch lasts (tracking stops
 * while a sensor is touched: common advice of sensor makers, Microchip). A reading that stays
 * clearly on the far side of rest cannot be a touch: the rest was learned with a finger on the
 * pad, and is taken anew (recalibration on a negative delta, same source).
 */
const QUIET = 0.25;
const FOLLOW: Micros = 4 * SECOND;
const FAR_SIDE = -0.25;
const FAR_SIDE_FOR: Micros = 60 * MILLISECOND;

/** A step this long without a reading counts as one of this length, so that rest never jumps. */
const LONGEST_STEP: Micros = 100 * MILLISECOND;

/** One pad's rest, in raw counts, as it moves. */
export interface Rest {
  value: number;
  seen: Micros;
  /** Since when, and with which raw value last, the pad has read on the far side of rest. */
  farSince: Micros;
  farRaw: number;
}

export function restAt(value: number): Rest {
  return { value, seen: 0, farSince: NaN, farRaw: 0 };
}

/**
 * Before a reading at `t` is judged: takes the rest anew where the far side has lasted long enough.
 * A wire that tells only changes stays silent meanwhile, so the last value counts until now.
 */
export function settleRest(rest: Rest, t: Micros): void {
  if (!(t - rest.farSince >= FAR_SIDE_FOR)) return;
  rest.value = rest.farRaw;
  rest.farSince = NaN;
}

/** After a reading at `t` was judged to be at `level`: moves the rest. Changes `rest` in place. */
export function followRest(rest: Rest, t: Micros, raw: number, level: number): void {
  const step = Math.min(t - rest.seen, LONGEST_STEP);
  rest.seen = t;
  if (level < FAR_SIDE) {
    if (Number.isNaN(rest.farSince)) rest.farSince = t;
    rest.farRaw = raw;
    return;
  }
  rest.farSince = NaN;
  if (level < QUIET) rest.value += ((raw - rest.value) * step) / (FOLLOW + step);
}
