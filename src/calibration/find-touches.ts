import { MILLISECOND, type Micros } from '../time/micros.js';
import { cleanSeries, type Clean } from './clean-series.js';
import { quantile, spreadOf, type Series } from '../pads/series.js';
import { allSteps, type Steps } from './steps.js';

/** A stretch of a take in which one pad was touched: samples `from` up to, not including, `to`. */
export interface FoundTouch {
  readonly pad: number;
  readonly from: number;
  readonly to: number;
}

/** What a take shows of all pads before anything is known of them. */
export interface Found extends Clean {
  /** The standard deviation of the noise, drift and hum taken out, in raw counts; by pad. */
  readonly sigma: readonly number[];
  readonly touches: readonly FoundTouch[];
}

/** A reading this many standard deviations from rest is no noise. */
const SURE = 6;
/** Of a pad's furthest readings, those at least this share of the way out belong to a touch. */
const OUT = 0.3;
const BRIDGE: Micros = 60 * MILLISECOND;
/** As long a pause of the wire itself, with the touch before and after it, is within the touch. */
const PAUSE: Micros = 500 * MILLISECOND;
const SHORTEST: Micros = 24 * MILLISECOND;
/** So long around a touch of any pad nothing tells of rest. */
const AROUND: Micros = 60 * MILLISECOND;

/**
 * Finds when which pad was touched, in a take in which pads are touched one at a time. A touch also
 * moves its neighbours, but in raw counts never as far as itself, so the furthest moved pad is the
 * touched one. Looks twice: what the first look found tells the second one where rest is.
 */
export function findTouches(series: Series): Found {
  return allSteps(findTouchesSteps(series));
}

/** The same in small pieces. */
export function* findTouchesSteps(series: Series): Steps<Found> {
  const clean = yield* cleanSeries(series, null);
  yield;
  const first = look(series, clean);
  yield;
  const busy = busyAround(series, first.touches);
  const cleaner = yield* cleanSeries(
    series,
    series.raws.map(() => busy),
  );
  yield;
  return look(series, cleaner);
}

/** Which samples are of a touch of any pad, or near one: a touch moves its neighbours too. */
export function busyAround({ times }: Series, touches: readonly FoundTouch[]): Uint8Array {
  const busy = new Uint8Array(times.length);
  for (const { from, to } of touches) {
    let [start, stop] = [from, to];
    while (start > 0 && times[from]! - times[start - 1]! <= AROUND) start--;
    while (stop < times.length && times[stop]! - times[to - 1]! <= AROUND) stop++;
    busy.fill(1, start, stop);
  }
  return busy;
}

function look({ times }: Series, clean: Clean): Found {
  const { change } = clean;
  const sigma = change.map(spreadOf);
  const limit = change.map((series, pad) => {
    const furthest = quantile(
      series.map((value) => Math.abs(value)),
      0.999,
    );
    return Math.max(1, SURE * sigma[pad]!, OUT * furthest);
  });

  const runs: { pad: number; from: number; to: number }[] = [];
  const current: (typeof runs)[number][] = [];
  for (let k = 0; k < times.length; k++) {
    const pad = furthestAt(change, limit, k);
    if (pad < 0) continue;
    const run = current[pad];
    if (run && times[k]! - times[run.to - 1]! <= (run.to === k ? PAUSE : BRIDGE)) run.to = k + 1;
    else runs.push((current[pad] = { pad, from: k, to: k + 1 }));
  }
  const touches = runs.filter(({ from, to }) => times[to - 1]! - times[from]! >= SHORTEST);
  return { ...clean, sigma, touches };
}

function furthestAt(change: readonly Float64Array[], limit: readonly number[], k: number): number {
  let pad = -1;
  let furthest = 0;
  for (let i = 0; i < change.length; i++) {
    const size = Math.abs(change[i]![k]!);
    if (size > limit[i]! && size > furthest) {
      furthest = size;
      pad = i;
    }
  }
  return pad;
}
