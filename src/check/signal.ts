import { MILLISECOND, type Micros } from '../time/micros.js';
import type { FoundTouch } from '../calibration/find-touches.js';
import { median, quantile } from '../pads/series.js';

/** Peak to peak is taken over this many readings in a row, as calibrating does. */
export const NOISE_READINGS = 100;

/** A board reports whole counts: noise below one count cannot be seen, and is not taken for less. */
const LEAST_NOISE = 1;

/**
 * Signal to noise: (mean touched − mean rest) / peak-to-peak rest noise; a pad is fit from 5 on.
 * Cypress 001-64846 §2.4.1 and KBA82807. All in raw counts; the direction of the change does not count.
 *
 * @example signalToNoise(6060, 5925, 27) // 5, the worked example of both
 */
export function signalToNoise(meanTouched: number, meanRest: number, noise: number): number {
  return Math.abs(meanTouched - meanRest) / Math.max(LEAST_NOISE, noise);
}

const BEFORE_TOUCH: Micros = 40 * MILLISECOND;
const AFTER_TOUCH: Micros = 60 * MILLISECOND;
/** What comes after a pause of this length is another stretch. */
const PAUSE: Micros = 200 * MILLISECOND;

/** Stretches in which nobody touched any pad, as pairs of sample from and (not included) to. */
export function quietStretches(
  times: readonly Micros[],
  touches: readonly FoundTouch[],
): [from: number, to: number][] {
  const busy = new Uint8Array(times.length);
  for (const { from, to } of touches) {
    let k = from;
    while (k > 0 && times[from]! - times[k - 1]! <= BEFORE_TOUCH) k--;
    let end = to;
    while (end < times.length && times[end]! - times[to - 1]! <= AFTER_TOUCH) end++;
    busy.fill(1, k, end);
  }
  const stretches: [number, number][] = [];
  for (let k = 0; k < times.length; k++) {
    if (busy[k] !== 0) continue;
    const last = stretches.at(-1);
    if (last?.[1] === k && times[k]! - times[k - 1]! <= PAUSE) last[1] = k + 1;
    else stretches.push([k, k + 1]);
  }
  return stretches;
}

/** Enough readings for a mean that noise hardly moves. */
const LOCAL = 60;

/** The mean of the quiet readings just before sample `from`, so that drift before that does not count. */
export function localRest(
  raws: Float64Array,
  quiet: readonly (readonly [number, number])[],
  from: number,
): number | null {
  let sum = 0;
  let count = 0;
  for (let i = quiet.length - 1; i >= 0 && count < LOCAL; i--) {
    const [first, end] = quiet[i]!;
    for (let k = Math.min(end, from) - 1; k >= first && count < LOCAL; k--) {
      if (Number.isNaN(raws[k]!)) continue;
      sum += raws[k]!;
      count += 1;
    }
  }
  return count === 0 ? null : sum / count;
}

/** A touch's own readings are those in its middle: a finger lands and leaves at its ends. */
const TRIM = 0.2;

/** Mean of a pad's readings in the middle of a touch. */
export function meanTouched(raws: Float64Array, { from, to }: FoundTouch): number {
  const trim = Math.floor(TRIM * (to - from));
  return mean(raws.subarray(from + trim, to - trim));
}

export function mean(values: Float64Array | readonly number[]): number {
  let sum = 0;
  for (const value of values) sum += value;
  return sum / values.length;
}

/** A pad with nobody touching, in raw counts. */
export interface Rest {
  readonly rest: number;
  /** Peak to peak: the middle of all stretches, and that of the worst tenth of them. */
  readonly noise: number;
  readonly worst: number;
  /** Standard deviation within stretches, by the middle of all, so that single jumps do not count. */
  readonly sigma: number;
}

/** A median absolute deviation times this is the standard deviation of normal noise. */
const MAD_TO_SIGMA = 1.4826;

/** What a pad does with nobody touching; null where it never sent a reading at rest. */
export function restOf(
  raws: Float64Array,
  quiet: readonly (readonly [number, number])[],
): Rest | null {
  const all: number[] = [];
  const widths: number[] = [];
  const away: number[] = [];
  let short = 0;
  for (const [from, to] of quiet) {
    const part = raws.subarray(from, to).filter((raw) => !Number.isNaN(raw));
    for (const raw of part) all.push(raw);
    for (let k = 0; k + NOISE_READINGS <= part.length; k += NOISE_READINGS) {
      const stretch = part.subarray(k, k + NOISE_READINGS);
      const middle = median(stretch);
      widths.push(peakToPeak(stretch));
      for (const raw of stretch) away.push(Math.abs(raw - middle));
    }
    if (part.length < NOISE_READINGS) short = Math.max(short, peakToPeak(part));
  }
  if (all.length === 0) return null;
  const noise = widths.length > 0 ? median(widths) : short;
  const worst = widths.length > 0 ? quantile(widths, 0.9) : short;
  const sigma = away.length > 0 ? MAD_TO_SIGMA * median(away) : short;
  return { rest: mean(all), noise, worst, sigma };
}

function peakToPeak(values: Float64Array): number {
  let min = Infinity;
  let max = -Infinity;
  for (const value of values) {
    if (value < min) min = value;
    if (value > max) max = value;
  }
  return max < min ? 0 : max - min;
}
