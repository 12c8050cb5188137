import { SECOND, type Micros } from '../time/micros.js';
import { mean } from './signal.js';

/** A rest is taken as the mean over this long, so that noise and hum do not count as drift. */
const STEP: Micros = SECOND / 2;
/** Fewer quiet readings than this in a step say nothing. */
const LEAST_READINGS = 20;
/** What is slower than this does no harm: the rest is followed between touches. */
const WITHIN: Micros = 60 * SECOND;

/**
 * How far a pad's rest wandered within any minute, in raw counts.
 *
 * @param quiet stretches of samples in which nobody touched
 */
export function wanderOf(
  times: readonly Micros[],
  raws: Float64Array,
  quiet: readonly (readonly [number, number])[],
): number {
  const steps = new Map<number, number[]>();
  for (const [from, to] of quiet) {
    for (let k = from; k < to; k++) {
      if (Number.isNaN(raws[k]!)) continue;
      const step = Math.floor(times[k]! / STEP);
      const values = steps.get(step) ?? [];
      if (values.length === 0) steps.set(step, values);
      values.push(raws[k]!);
    }
  }
  const rests = [...steps]
    .filter(([, values]) => values.length >= LEAST_READINGS)
    .map(([step, values]) => ({ t: step * STEP, rest: mean(values) }));
  let furthest = 0;
  for (let i = 0; i < rests.length; i++) {
    for (let k = i + 1; k < rests.length && rests[k]!.t - rests[i]!.t <= WITHIN; k++) {
      furthest = Math.max(furthest, Math.abs(rests[k]!.rest - rests[i]!.rest));
    }
  }
  return furthest;
}
