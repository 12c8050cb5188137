import { MILLISECOND, type Micros } from '../time/micros.js';
import { quietStretches, restOf } from './signal.js';
import {
  busyAround,
  findTouchesSteps,
  type Found,
  type FoundTouch,
} from '../calibration/find-touches.js';
import { median, type Series } from '../pads/series.js';
import type { Steps } from '../calibration/steps.js';

/** Means over this long hold whole periods of 50 and of 60 Hz, and are shorter than any firm touch. */
const OVER: Micros = 100 * MILLISECOND;
/** A mean this many of its own standard deviations from rest is no noise. */
const SURE = 8;
/** And it must be at least this part of the noise's peak to peak: less can never be played. */
const LEAST_PART = 0.5;
/** A run of such means is a touch from this length on; one much longer is a wandering rest. */
const SHORTEST: Micros = 60 * MILLISECOND;
const LONGEST: Micros = 3_000 * MILLISECOND;
/** Touches come a few times; what moves more often is something else. */
const MOST = 8;
/** Less than half a count is nothing that a board can mean. */
const LEAST = 0.5;
/** A median absolute deviation times this is the standard deviation of normal noise. */
const MAD_TO_SIGMA = 1.4826;

/**
 * All touches of a take, the faint ones of pads that have no others among them, in small pieces.
 *
 * @param interval the time from scan to scan
 */
export function* allTouchesSteps(series: Series, interval: Micros): Steps<Found> {
  const found = yield* findTouchesSteps(series);
  yield;
  const quiet = quietStretches(series.times, found.touches);
  const faint = series.raws.flatMap((raws, pad) => {
    if (found.touches.some((touch) => touch.pad === pad)) return [];
    const rest = restOf(raws, quiet);
    return rest ? faintTouches(series, found, pad, rest.noise, interval) : [];
  });
  return { ...found, touches: [...found.touches, ...faint] };
}

/**
 * Looks again for touches of a pad that seemed to give none: touches so faint that no single reading
 * stands out of the noise, but the mean of many does. A pad that gives such is weak, not dead.
 *
 * @param pad one that has no touch in `found`
 * @param noise its peak to peak at rest
 */
function faintTouches(
  series: Series,
  found: Found,
  pad: number,
  noise: number,
  interval: Micros,
): FoundTouch[] {
  const { times } = series;
  const busy = busyAround(series, found.touches);
  const means = movingMeans(found.change[pad]!, Math.max(5, Math.round(OVER / interval)));
  const sizes = means.map((mean, k) => (busy[k] === 0 ? Math.abs(mean) : NaN));
  const sigma = MAD_TO_SIGMA * median(sizes);
  const limit = Math.max(LEAST, SURE * sigma, LEAST_PART * noise);
  const runs: { pad: number; from: number; to: number }[] = [];
  sizes.forEach((size, k) => {
    if (!(size > limit)) return;
    const run = runs.at(-1);
    if (run?.to === k) run.to = k + 1;
    else runs.push({ pad, from: k, to: k + 1 });
  });
  const touches = runs.filter(({ from, to }) => {
    const length = times[to - 1]! - times[from]!;
    return length >= SHORTEST && length <= LONGEST;
  });
  const ups = touches.filter(({ from, to }) => means[(from + to) >> 1]! > 0).length;
  const oneWay = ups === 0 || ups === touches.length;
  return oneWay && touches.length <= MOST ? touches : [];
}

/** Each the mean of `count` values around it; NaN where there are not that many. */
function movingMeans(values: Float64Array, count: number): Float64Array {
  const means = new Float64Array(values.length).fill(NaN);
  const before = count >> 1;
  for (let k = before; k + count - before <= values.length; k++) {
    let sum = 0;
    for (let i = k - before; i < k - before + count; i++) sum += values[i]!;
    means[k] = sum / count;
  }
  return means;
}
