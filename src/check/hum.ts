import { SECOND, type Micros } from '../time/micros.js';
import type { Hum } from './types.js';
import { median } from '../pads/series.js';

/** Stretches of rest between these lengths are looked at: a shorter one cannot tell 50 from 60 Hz. */
const SHORTEST: Micros = 0.4 * SECOND;
const LONGEST: Micros = 1 * SECOND;

/** A frequency as it shows at a scan rate: folded at half of it. Both in hertz. */
export function aliasOf(hz: number, rate: number): number {
  const rest = hz % rate;
  return Math.min(rest, rate - rest);
}

/** A line nearer to 0 Hz than this looks like drift; nearer to another line, like that one. */
const APART = 4;
/** A line is narrow where its power is this many times that beside it. */
const NARROW = 4;
/** Less than this of the noise's power is not worth a word. */
const LEAST_SHARE = 0.2;

interface Line {
  /** Amplitude, and the power of a sine of it as a share of all power. */
  readonly amplitude: number;
  readonly share: number;
  readonly narrow: boolean;
}

/** Takes out the straight line that fits best: what drift does within a second. */
function levelled(times: readonly number[], values: Float64Array): Float64Array {
  const n = values.length;
  const t0 = times.reduce((sum, t) => sum + t, 0) / n;
  const x0 = values.reduce((sum, x) => sum + x, 0) / n;
  let [tt, tx] = [0, 0];
  times.forEach((t, k) => {
    tt += (t - t0) ** 2;
    tx += (t - t0) * (values[k]! - x0);
  });
  const slope = tt > 0 ? tx / tt : 0;
  return values.map((x, k) => x - x0 - slope * (times[k]! - t0));
}

/**
 * The amplitude of one frequency: one bin of a Fourier transform under a Hann window. It sums over the
 * readings' own times, so that lost scans do not smear it and aliases need no thought.
 */
function amplitudeAt(times: readonly number[], values: Float64Array, hz: number): number {
  const [first, last] = [times[0]!, times.at(-1)!];
  let [re, im, weights] = [0, 0, 0];
  for (let k = 0; k < values.length; k++) {
    const weight = 0.5 - 0.5 * Math.cos((2 * Math.PI * (times[k]! - first)) / (last - first));
    const angle = 2 * Math.PI * hz * times[k]!;
    re += weight * values[k]! * Math.cos(angle);
    im += weight * values[k]! * Math.sin(angle);
    weights += weight;
  }
  return (2 * Math.hypot(re, im)) / weights;
}

function lineAt(times: readonly number[], values: Float64Array, hz: number, rate: number): Line {
  const flat = levelled(times, values);
  const power = flat.reduce((sum, x) => sum + x * x, 0) / flat.length;
  const amplitude = amplitudeAt(times, flat, hz);
  const bin = 1 / (times.at(-1)! - times[0]!);
  const own = aliasOf(hz, rate);
  const beside = [-4.5, -3.5, 3.5, 4.5]
    .map((bins) => own + bins * bin)
    .filter((at) => at > bin && at < rate / 2 - bin)
    .map((at) => amplitudeAt(times, flat, at) ** 2);
  return {
    amplitude,
    share: power > 0 ? Math.min(1, amplitude ** 2 / 2 / power) : 0,
    narrow: amplitude ** 2 > NARROW * median(beside),
  };
}

/**
 * Looks for a narrow line at 50 or 60 Hz, or where they fold to at this scan rate, in the rest of a
 * pad. Null where there is none, or where it cannot be told.
 *
 * @param quiet stretches of samples in which nobody touched
 * @param rate scans a second
 */
export function humOf(
  times: readonly Micros[],
  raws: Float64Array,
  quiet: readonly (readonly [number, number])[],
  rate: number,
): Hum | null {
  const pieces = quiet.flatMap(([from, to]) => piecesOf(times, from, to));
  const usable = pieces.filter(([from, to]) => !raws.subarray(from, to).some(Number.isNaN));
  if (usable.length === 0) return null;
  const alike = Math.abs(aliasOf(50, rate) - aliasOf(60, rate)) < APART;
  let best: Hum | null = null;
  for (const hz of [50, 60] as const) {
    if (aliasOf(hz, rate) < APART) continue;
    const lines = usable.map(([from, to]) => {
      const seconds = times.slice(from, to).map((t) => t / SECOND);
      return lineAt(seconds, raws.subarray(from, to), hz, rate);
    });
    const share = median(lines.map((line) => line.share));
    const narrow = 2 * lines.filter((line) => line.narrow).length > lines.length;
    if (!narrow || share < LEAST_SHARE || (best && best.share >= share)) continue;
    const size = 2 * median(lines.map((line) => line.amplitude));
    best = { hz: alike ? null : hz, size, share };
  }
  return best;
}

/** Cuts a stretch into pieces of equal length, none longer than LONGEST; none where it is too short. */
function piecesOf(times: readonly Micros[], from: number, to: number): [number, number][] {
  const length = times[to - 1]! - times[from]!;
  if (length < SHORTEST) return [];
  const count = Math.ceil(length / LONGEST);
  const size = Math.floor((to - from) / count);
  return Array.from({ length: count }, (_, i) => [from + i * size, from + (i + 1) * size]);
}
