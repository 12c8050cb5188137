import type { Coupling, PadBuild } from '../instrument/types.js';
import type { Scan } from '../wire/scan.js';
import { busyAround, findTouches, type Found, type FoundTouch } from './find-touches.js';
import { PEAK_TO_SIGMA } from '../pads/plan.js';
import { median, quantile, seriesOf } from '../pads/series.js';

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

/** The rest is where the last samples of the take lay: it drifts on from there. */
const LATEST = 250;
/** A touch's own readings: those at least this share of the way to its furthest one. */
const PLATEAU = 0.8;
/** A touch of less than this share of the firmest one was no firm one: those differ by some 5 % (memory). */
const FIRM = 0.8;
/** Shares under this are not told from noise; none is larger than a touch of the pad itself. */
const LEAST_SHARE = 0.012;
const MOST_SHARE = 0.9;
/** A share is believed where it is this many standard deviations of its own uncertainty. */
const BELIEVED = 4;
/** Peak to peak of this many quiet samples in a row. */
const NOISE_WINDOW = 100;

interface Measured {
  readonly touch: FoundTouch;
  /** How many readings the plateau has. */
  readonly count: number;
  /** The plateau's mean change of every pad, in raw counts. */
  readonly changes: readonly number[];
}

/** What a touch changed, on every pad, against the moments before and after it. */
function measure(found: Found, busy: Uint8Array, touch: FoundTouch): Measured {
  const own = found.change[touch.pad]!;
  const sizes = own.subarray(touch.from, touch.to).map((value) => Math.abs(value));
  const furthest = quantile(sizes, 0.9);
  const plateau: number[] = [];
  sizes.forEach((size, k) => {
    if (size >= PLATEAU * furthest) plateau.push(touch.from + k);
  });
  const changes = found.change.map((change) => {
    const level = meanOf(plateau.map((k) => change[k]!));
    return level - around(change, busy, touch);
  });
  return { touch, count: plateau.length, changes };
}

/** How many quiet samples on each side of a touch tell where its rest is. */
const BESIDE = 50;

/** The mean of the quiet samples just before and just after a touch, 0 where there are none. */
function around(change: Float64Array, busy: Uint8Array, { from, to }: FoundTouch): number {
  const values: number[] = [];
  for (let k = from - 1; k >= 0 && values.length < BESIDE; k--) {
    if (busy[k] === 0) values.push(change[k]!);
  }
  const before = values.length;
  for (let k = to; k < change.length && values.length < before + BESIDE; k++) {
    if (busy[k] === 0) values.push(change[k]!);
  }
  return values.length > 0 ? meanOf(values) : 0;
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/**
 * A full touch by all touches of a pad: their mean, without those that are far from the firmest one.
 * The mean of two tells a span better than the higher of them does (normal distribution: 0.71 and
 * 0.83 deviations of one touch). Ranks of strengths are the same by either, as far as can be told.
 */
function spanOf(changes: readonly number[]): number {
  const firmest = Math.max(...changes.map((change) => Math.abs(change)));
  return meanOf(changes.filter((change) => Math.abs(change) >= FIRM * firmest));
}

/** Peak to peak at rest: the middle of many short stretches, so that drift does not count. */
function restNoise(raws: Float64Array, busy: Uint8Array, sigma: number): number {
  const widths: number[] = [];
  let min = Infinity;
  let max = -Infinity;
  let count = 0;
  for (let k = 0; k < raws.length; k++) {
    const raw = raws[k]!;
    if (busy[k] !== 0 || Number.isNaN(raw)) continue;
    min = Math.min(min, raw);
    max = Math.max(max, raw);
    count += 1;
    if (count < NOISE_WINDOW) continue;
    widths.push(max - min);
    [min, max, count] = [Infinity, -Infinity, 0];
  }
  return widths.length > 0 ? median(widths) : PEAK_TO_SIGMA * sigma;
}

/** What of each other pad's touches shows on this one, by all of that pad's touches together. */
function couplingOf(pad: number, all: readonly Measured[], sigma: number): Coupling[] {
  const coupling: Coupling[] = [];
  for (const from of new Set(all.map(({ touch }) => touch.pad))) {
    if (from === pad) continue;
    const touches = all.filter(({ touch }) => touch.pad === from);
    // Least squares of this pad's changes on the other's, each touch weighing as its plateau is long.
    let [xy, xx] = [0, 0];
    for (const { count, changes } of touches) {
      xy += count * changes[pad]! * changes[from]!;
      xx += count * changes[from]! ** 2;
    }
    let share = xy / xx;
    const doubt = sigma / Math.sqrt(xx);
    const shares = touches.map(({ changes }) => changes[pad]! / changes[from]!);
    // What one touch shows and another does not came from somewhere else.
    if (Math.max(...shares) - Math.min(...shares) > Math.max(0.08, 6 * doubt)) {
      share = shares.reduce((a, b) => (Math.abs(b) < Math.abs(a) ? b : a));
    }
    if (share < 0) continue;
    const believed = Math.abs(share) >= Math.max(LEAST_SHARE, BELIEVED * doubt);
    if (believed && Math.abs(share) <= MOST_SHARE) {
      coupling.push({ from, share: Number(share.toFixed(4)) });
    }
  }
  return coupling.sort((a, b) => a.from - b.from);
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
  const busy = busyAround(series, found.touches);
  const every = found.touches.map((touch) => measure(found, busy, touch));
  // All pads of a unit move to one side when touched: what goes to the other was a finger that left.
  const ups = every.filter(({ touch, changes }) => changes[touch.pad]! > 0).length;
  const all = every.filter(
    ({ touch, changes }) => changes[touch.pad]! > 0 === 2 * ups >= every.length,
  );
  const unfit: Unfit[] = [];

  const builds = series.raws.map((raws, pad): PadBuild | null => {
    const fail = (reason: UnfitReason): null => {
      unfit.push({ pad, reason, ratio: NaN });
      return null;
    };
    const rest = median(found.rest[pad]!.slice(-LATEST));
    if (Number.isNaN(rest)) return fail('unheard');
    const own = all.filter(({ touch }) => touch.pad === pad).map(({ changes }) => changes[pad]!);
    if (own.length === 0) {
      const constant = raws.every((raw) => Number.isNaN(raw) || raw === raws.at(-1));
      const atEnd = raws.at(-1) === 0 || raws.at(-1) === full;
      return fail(constant && atEnd ? 'stuck' : 'untouched');
    }
    const span = spanOf(own);
    const noise = restNoise(raws, busy, found.sigma[pad]!);
    const ratio = noise > 0 ? Math.abs(span) / noise : Infinity;
    if (ratio < FIT_RATIO) unfit.push({ pad, reason: 'weak', ratio });
    return {
      rest: Number(rest.toFixed(1)),
      span: Number(span.toFixed(1)),
      noise: Number(noise.toFixed(1)),
      coupling: couplingOf(pad, all, found.sigma[pad]!),
    };
  });
  const touched = builds.map((_, pad) => all.filter(({ touch }) => touch.pad === pad).length);
  return { pads: builds, touched, unfit };
}
