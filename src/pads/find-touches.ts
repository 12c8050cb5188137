import { MILLISECOND, type Micros } from '../time/micros.js';
import { median, noiseOf, quantile, type Series } from './series.js';

/** A stretch of a take in which one pad was touched: samples `from` up to, not including, `to`. */
export interface FoundTouch {
  readonly pad: number;
  readonly from: number;
  readonly to: number;
}

/** What a take shows of all pads before anything is known of them. */
export interface Found {
  readonly rest: readonly number[];
  readonly sigma: readonly number[];
  readonly touches: readonly FoundTouch[];
}

/** A reading this many standard deviations from rest is no noise, hum included. */
const SURE = 8;
/** Of a pad's furthest readings, those at least this share of the way out belong to a touch. */
const OUT = 0.3;
const BRIDGE: Micros = 60 * MILLISECOND;
const SHORTEST: Micros = 24 * MILLISECOND;

/**
 * Finds when which pad was touched, in a take in which pads are touched one at a time. A touch also
 * moves its neighbours, but in raw counts never as far as itself, so the furthest moved pad is the
 * touched one.
 */
export function findTouches({ times, raws }: Series): Found {
  const rest = raws.map((series) => median(series));
  const sigma = raws.map((series) => noiseOf(series));
  const limit = raws.map((series, pad) => {
    const furthest = quantile(
      series.map((raw) => Math.abs(raw - rest[pad]!)),
      0.999,
    );
    return Math.max(1, SURE * sigma[pad]!, OUT * furthest);
  });

  const runs: { pad: number; from: number; to: number }[] = [];
  const current: (typeof runs)[number][] = [];
  for (let k = 0; k < times.length; k++) {
    let pad = -1;
    let furthest = 0;
    for (let i = 0; i < raws.length; i++) {
      const change = Math.abs(raws[i]![k]! - rest[i]!);
      if (change > limit[i]! && change > furthest) {
        furthest = change;
        pad = i;
      }
    }
    if (pad < 0) continue;
    const run = current[pad];
    if (run && times[k]! - times[run.to - 1]! <= BRIDGE) run.to = k + 1;
    else runs.push((current[pad] = { pad, from: k, to: k + 1 }));
  }
  const touches = runs.filter(({ from, to }) => times[to - 1]! - times[from]! >= SHORTEST);
  return { rest, sigma, touches };
}
