import { heldUntil } from './held.js';
import { localRest, meanTouched, quietStretches } from './signal.js';
import type { Found, FoundTouch } from '../calibration/find-touches.js';
import { median, type Series } from '../pads/series.js';

/** A touch and how far it moved its pad. */
export interface MeasuredTouch extends FoundTouch {
  /** Mean while touched, and mean rest just before. */
  readonly touched: number;
  readonly rest: number;
}

type Stretches = readonly (readonly [from: number, to: number])[];

/** The touches of a take, and when nobody touched. */
export interface Measured {
  /** By time. */
  readonly touches: readonly MeasuredTouch[];
  /** For each pad, the stretches in which it was at rest and nobody touched any. */
  readonly quiet: readonly Stretches[];
  /** Pads on which something lay at first: what looked like a touch was its being lifted. */
  readonly heldFirst: ReadonlySet<number>;
}

/** Of a pad's firmest touch, what moves less than this was its drifting rest, or a brush. */
const LEAST_TOUCH = 0.3;

/** Measures touches against the rest just before each, and drops those that are none by that measure. */
export function measureTouches(series: Series, found: Found): Measured {
  const byTime = [...found.touches].sort((a, b) => a.from - b.from);
  const first = quietStretches(series.times, byTime);
  const all = byTime.map((touch) => measured(series, touch, first));
  const kept = all.filter(
    (touch) => changeOf(touch) >= LEAST_TOUCH * changeOf(firmestOf(all, touch.pad)!),
  );
  const lifted = liftedOf(kept);
  const touches = kept.filter((touch) => !lifted.includes(touch));
  const whole = quietStretches(series.times, kept);
  const heldFirst = new Set<number>();
  const quiet = series.raws.map((raws, pad): Stretches => {
    const firmest = firmestOf(touches, pad);
    if (!firmest) return whole;
    const step = heldUntil(series.times, raws, whole, firmest.touched - firmest.rest);
    const from = lifted
      .filter((one) => one.pad === pad)
      .reduce((end, { to }) => Math.max(end, to), step);
    const later = whole.flatMap(([start, end]): [number, number][] =>
      end > from ? [[Math.max(start, from), end]] : [],
    );
    if (from === 0 || later.length === 0) return whole;
    heldFirst.add(pad);
    return later;
  });
  return {
    touches: touches.map((touch) => measured(series, touch, quiet[touch.pad]!)),
    quiet,
    heldFirst,
  };
}

function measured({ raws }: Series, touch: FoundTouch, quiet: Stretches): MeasuredTouch {
  const own = raws[touch.pad]!;
  const { pad, from, to } = touch;
  return {
    pad,
    from,
    to,
    rest: localRest(own, quiet, from) ?? median(own),
    touched: meanTouched(own, touch),
  };
}

/**
 * "Touches" that go the other way than the pad's others and than most of the unit's: where a finger
 * lay on a pad while it should have been let go, its going away looks like one.
 */
function liftedOf(touches: readonly MeasuredTouch[]): MeasuredTouch[] {
  const up = ({ touched, rest }: MeasuredTouch): boolean => touched > rest;
  const pads = [...new Set(touches.map(({ pad }) => pad))];
  const ups = pads.filter((pad) => up(firmestOf(touches, pad)!)).length;
  const usual = 2 * ups >= pads.length;
  return touches.filter(
    (touch) =>
      up(touch) !== usual && touches.some((one) => one.pad === touch.pad && up(one) === usual),
  );
}

/** How far a touch moved its pad, in raw counts. */
export function changeOf({ touched, rest }: MeasuredTouch): number {
  return Math.abs(touched - rest);
}

export function firmestOf(
  touches: readonly MeasuredTouch[],
  pad: number,
): MeasuredTouch | undefined {
  let best: MeasuredTouch | undefined;
  for (const touch of touches) {
    if (touch.pad === pad && (!best || changeOf(touch) > changeOf(best))) best = touch;
  }
  return best;
}
