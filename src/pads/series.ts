import type { Scan } from '../wire/scan.js';
import type { Micros } from '../time/micros.js';

/** Readings of all pads over time: `raws[pad][k]` at `times[k]`, NaN before a pad's first reading. */
export interface Series {
  readonly times: readonly Micros[];
  readonly raws: readonly Float64Array[];
}

/** Lays scans out by pad; a reading that was left out is the one before it. */
export function seriesOf(
  scans: readonly Scan[],
  wiring: readonly (number | null)[],
  pads: number,
): Series {
  const raws = Array.from({ length: pads }, () => new Float64Array(scans.length).fill(NaN));
  const latest = new Float64Array(pads).fill(NaN);
  scans.forEach(({ inputs, raws: values }, k) => {
    for (let i = 0; i < inputs.length; i++) {
      const pad = wiring[inputs[i]!];
      if (pad !== null && pad !== undefined && pad < pads) latest[pad] = values[i]!;
    }
    for (let pad = 0; pad < pads; pad++) raws[pad]![k] = latest[pad]!;
  });
  return { times: scans.map(({ t }) => t), raws };
}

/** The middle value; NaN of nothing. Values that are NaN do not count. */
export function median(values: Iterable<number>): number {
  return quantile(values, 0.5);
}

/** The value under which the share `q` of the values lies (nearest rank); NaN of nothing. */
export function quantile(values: Iterable<number>, q: number): number {
  const sorted = Float64Array.from(values)
    .filter((value) => !Number.isNaN(value))
    .sort();
  if (sorted.length === 0) return NaN;
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))]!;
}

/**
 * The standard deviation of what is mostly noise: 1.4826 · median |value|, which a few touches do
 * not move (the factor makes a median absolute deviation a standard deviation; normal distribution).
 */
export function spreadOf(change: Float64Array): number {
  const middle = median(change.map((value) => Math.abs(value)));
  return Number.isNaN(middle) ? 0 : 1.4826 * middle;
}

/**
 * The standard deviation of the noise in a series that also drifts and is touched now and then:
 * 1.4826 · median |difference of neighbours| / √2. The first factor makes a median absolute
 * deviation a standard deviation (normal distribution), the second undoes the differencing.
 */
export function noiseOf(series: Float64Array): number {
  const steps = new Float64Array(Math.max(0, series.length - 1));
  for (let k = 1; k < series.length; k++) steps[k - 1] = Math.abs(series[k]! - series[k - 1]!);
  const middle = median(steps);
  return Number.isNaN(middle) ? 0 : (1.4826 * middle) / Math.SQRT2;
}
