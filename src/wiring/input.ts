import { MILLISECOND, SECOND, type Micros } from '../time/micros.js';
import { median } from '../pads/series.js';

/**
 * Readings are smoothed before they are judged, since a wire may be learned a little late: a one-pole
 * low-pass of this time constant leaves 16 % of 50 Hz hum (1/√(1 + (2π·f·τ)²)) and, at 250 scans a
 * second, a third of white noise, while contact lost for 12 ms still shows 55 % of a touch.
 */
export const SMOOTH: Micros = 20 * MILLISECOND;
/** How an input's rest and noise follow while nobody touches. Memory, no source. */
const FOLLOW: Micros = 1 * SECOND;
const FOLLOW_NOISE: Micros = 2 * SECOND;
/** A step this long without a reading counts as one of this length, so that rest never jumps. */
const LONGEST_STEP: Micros = 100 * MILLISECOND;

/** A median absolute deviation times this is the standard deviation of normal noise. */
const MAD_TO_SIGMA = 1.4826;
/** A mean absolute deviation times this is the standard deviation of normal noise: √(π/2). */
const MEAN_TO_SIGMA = 1.2533;
/** An input is touched where it is this many standard deviations of its own noise from its rest. */
const SURE = 6;
/** With fewer readings than these the last one is the rest, and noise is not known. */
const FEW = 8;

/** One reading while rest is watched. */
export interface Watched {
  readonly t: Micros;
  readonly raw: number;
}

/** One input of a unit of which nothing is known, in raw counts. Changed in place. */
export interface WireInput {
  /** The last reading, which counts until the next one, and the readings smoothed. */
  raw: number;
  smooth: number;
  rest: number;
  /** Standard deviation of `smooth` about `rest`. */
  noise: number;
  /** The rest before it was taken again under a touch that would not end; NaN where it was not. */
  former: number;
  /** Since when `smooth` has been near `former`; NaN where it is not. */
  formerSince: Micros;
  /** The furthest that it moved in the touch that is on. */
  peak: number;
  /** What is being watched, and until when; null once its touches count. */
  learning: { readonly until: Micros; readonly watched: Watched[] } | null;
}

/** A unit of which nothing is known. Changed in place. */
export interface UnknownUnit {
  /** By number; inputs that were never heard of are holes in the list. */
  readonly inputs: WireInput[];
  /** The least change that counts, in raw counts. */
  least: number;
  /** How many more touches have raised a reading than lowered one. */
  rising: number;
}

export function wireInput(rest: number, learning: WireInput['learning'] = null): WireInput {
  return {
    raw: rest,
    smooth: rest,
    rest,
    noise: 0,
    learning,
    former: NaN,
    formerSince: NaN,
    peak: 0,
  };
}

/** Takes the rest and the noise of what was watched; a touch of less than half the time is no rest. */
export function settleInput(input: WireInput, watched: readonly Watched[]): void {
  input.learning = null;
  const last = watched.at(-1);
  if (!last) return;
  const few = watched.length < FEW;
  input.rest = few ? last.raw : median(watched.map(({ raw }) => raw));
  input.smooth = input.rest;
  if (few) return;
  let smooth = input.rest;
  let before = watched[0]!;
  const distances = watched.map((one) => {
    smooth = towards(smooth, before.raw, one.t - before.t);
    before = one;
    return Math.abs(smooth - input.rest);
  });
  input.noise = MAD_TO_SIGMA * median(distances);
}

/** How far an input must be from its rest to be touched, on a wire whose least change is `least`. */
export function limitOf({ noise }: WireInput, least: number): number {
  return Math.max(least, SURE * noise);
}

/** Where the smoothed value is after `step` of reading `raw`. */
export function towards(smooth: number, raw: number, step: Micros): number {
  return raw + (smooth - raw) * Math.exp(-step / SMOOTH);
}

/** Moves rest and noise of an input at rest. */
export function followInput(input: WireInput, step: Micros): void {
  const capped = Math.min(step, LONGEST_STEP);
  const change = input.smooth - input.rest;
  input.rest += (change * capped) / (FOLLOW + capped);
  const spread = MEAN_TO_SIGMA * Math.abs(change) - input.noise;
  input.noise += (spread * capped) / (FOLLOW_NOISE + capped);
}

/** Takes where an input is now for its rest, and remembers the old one. */
export function restAnew(input: WireInput): void {
  input.former = input.rest;
  input.formerSince = NaN;
  input.rest = input.smooth;
}
