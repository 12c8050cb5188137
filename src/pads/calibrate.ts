import type { Coupling, PadBuild } from '../instrument/types.js';
import type { Scan } from '../wire/scan.js';
import { findTouches, type Found, type FoundTouch } from './find-touches.js';
import { median, seriesOf, type Series } from './series.js';

/** A signal is fit from five times its peak-to-peak noise on (Cypress 001-64846 §2.4.1). */
export const FIT_RATIO = 5;

/** Why a pad is not fit: nothing came from it, it never moved, it is at an end, or it is too weak. */
export type UnfitReason = 'unheard' | 'untouched' | 'stuck' | 'weak';

export interface Unfit {
  readonly pad: number;
  readonly reason: UnfitReason;
  /** Signal to noise as defined for FIT_RATIO; NaN where there is no signal. */
  readonly ratio: number;
}

export interface Calibration {
  /** By pad; null where nothing could be learned. A weak pad has its entry: it plays as it can. */
  readonly pads: readonly (PadBuild | null)[];
  /** How often each pad was touched. */
  readonly touched: readonly number[];
  readonly unfit: readonly Unfit[];
}

/** A touch's own readings: those at least this share of the way to its furthest one. */
const PLATEAU = 0.8;
/** How many quiet samples before a touch tell its own rest, so that drift between does not count. */
const BEFORE = 60;
/** Shares under this are not told from noise; none is larger than a touch of the pad itself. */
const LEAST_SHARE = 0.015;
const MOST_SHARE = 0.9;
/** Peak to peak of this many quiet samples in a row. */
const NOISE_WINDOW = 100;
/** Peak to peak over standard deviation in about 100 samples of normal noise. Memory. */
const PEAK_TO_SIGMA = 5;

const NONE: PadBuild['coupling'] = [];

interface Measured {
  readonly touch: FoundTouch;
  /** The plateau's change of every pad, in raw counts. */
  readonly changes: readonly number[];
}

/** For every sample, whether any pad is being touched then (or is just about to be, or just was). */
function busyOf({ times }: Series, { touches }: Found): Uint8Array {
  const busy = new Uint8Array(times.length);
  for (const { from, to } of touches) busy.fill(1, Math.max(0, from - 8), to + 12);
  return busy;
}

function quietBefore(series: Float64Array, busy: Uint8Array, from: number): number[] {
  const values: number[] = [];
  for (let k = from - 1; k >= 0 && values.length < BEFORE; k--) {
    if (busy[k] === 0) values.push(series[k]!);
  }
  return values;
}

function measure(series: Series, found: Found, busy: Uint8Array, touch: FoundTouch): Measured {
  const rests = series.raws.map((raws, pad) => {
    const local = median(quietBefore(raws, busy, touch.from));
    return Number.isNaN(local) ? found.rest[pad]! : local;
  });
  const own = series.raws[touch.pad]!.subarray(touch.from, touch.to);
  const distance = own.map((raw) => Math.abs(raw - rests[touch.pad]!));
  const furthest = distance.reduce((a, b) => Math.max(a, b), 0);
  const changes = series.raws.map((raws, pad) => {
    const part = raws.subarray(touch.from, touch.to);
    return median(part.filter((_, k) => distance[k]! >= PLATEAU * furthest)) - rests[pad]!;
  });
  return { touch, changes };
}

/** Peak to peak at rest: the middle of many short stretches, so that drift does not count. */
function restNoise(raws: Float64Array, busy: Uint8Array, sigma: number): number {
  const widths: number[] = [];
  let min = Infinity;
  let max = -Infinity;
  let count = 0;
  for (let k = 0; k < raws.length; k++) {
    const raw = raws[k]!;
    if (busy[k] !== 0 || Number.isNaN(raw)) {
      [min, max, count] = [Infinity, -Infinity, 0];
      continue;
    }
    min = Math.min(min, raw);
    max = Math.max(max, raw);
    count += 1;
    if (count < NOISE_WINDOW) continue;
    widths.push(max - min);
    [min, max, count] = [Infinity, -Infinity, 0];
  }
  return widths.length > 0 ? median(widths) : PEAK_TO_SIGMA * sigma;
}

function couplingOf(pad: number, all: readonly Measured[], sigma: number): Coupling[] {
  const shares = new Map<number, number[]>();
  for (const { touch, changes } of all) {
    if (touch.pad === pad || !(Math.abs(changes[pad]!) > sigma)) continue;
    const share = changes[pad]! / changes[touch.pad]!;
    shares.set(touch.pad, [...(shares.get(touch.pad) ?? []), share]);
  }
  const touchedTimes = (from: number): number =>
    all.filter(({ touch }) => touch.pad === from).length;
  return (
    [...shares]
      // A share that shows at less than half of the touches was something else.
      .filter(([from, seen]) => 2 * seen.length >= touchedTimes(from))
      .map(([from, seen]) => ({ from, share: Number(median(seen).toFixed(4)) }))
      .filter(({ share }) => Math.abs(share) >= LEAST_SHARE && Math.abs(share) <= MOST_SHARE)
      .sort((a, b) => a.from - b.from)
  );
}

/**
 * Learns a unit from a take in which nobody touched it for a moment and then every pad was touched
 * at least once, one at a time.
 *
 * @param wiring which pad each input is
 * @param pads how many pads the instrument has
 * @param full the raw value of full scale
 */
export function calibratePads(
  scans: readonly Scan[],
  wiring: readonly (number | null)[],
  pads: number,
  full: number,
): Calibration {
  const series = seriesOf(scans, wiring, pads);
  const found = findTouches(series);
  const busy = busyOf(series, found);
  const all = found.touches.map((touch) => measure(series, found, busy, touch));
  const unfit: Unfit[] = [];

  const builds = series.raws.map((raws, pad): PadBuild | null => {
    const fail = (reason: UnfitReason): null => {
      unfit.push({ pad, reason, ratio: NaN });
      return null;
    };
    if (Number.isNaN(found.rest[pad]!)) return fail('unheard');
    const own = all.filter(({ touch }) => touch.pad === pad).map(({ changes }) => changes[pad]!);
    if (own.length === 0) {
      const constant = raws.every((raw) => Number.isNaN(raw) || raw === found.rest[pad]);
      const atEnd = found.rest[pad] === 0 || found.rest[pad] === full;
      return fail(constant && atEnd ? 'stuck' : 'untouched');
    }
    const span = own.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a));
    const rest = median(raws.filter((_, k) => busy[k] === 0));
    const noise = restNoise(raws, busy, found.sigma[pad]!);
    const ratio = noise > 0 ? Math.abs(span) / noise : Infinity;
    if (ratio < FIT_RATIO) unfit.push({ pad, reason: 'weak', ratio });
    const coupling = all.length > 0 ? couplingOf(pad, all, found.sigma[pad]!) : NONE;
    return {
      rest: Number((Number.isNaN(rest) ? found.rest[pad]! : rest).toFixed(1)),
      span: Number(span.toFixed(1)),
      noise: Number(noise.toFixed(1)),
      coupling,
    };
  });
  const touched = builds.map((_, pad) => all.filter(({ touch }) => touch.pad === pad).length);
  return { pads: builds, touched, unfit };
}
