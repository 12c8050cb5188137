import { followHum, humOf, mainsAt, newHum, newMains } from '../pads/hum.js';
import { spreadOf, type Series } from '../pads/series.js';
import type { Steps } from './steps.js';
import { slowRest } from './slow-rest.js';

/** How far each pad's readings are from rest, in raw counts: drift and hum taken out. */
export interface Clean {
  /** Where the pad rests, sample by sample. */
  readonly rest: readonly Float64Array[];
  /** `change[pad][k]`, NaN before a pad's first reading. */
  readonly change: readonly Float64Array[];
}

/** The hum is followed forwards once to get to know it, and once more to take it out. */
const PASSES = 2;
/**
 * Of a reading further from rest than this many deviations no more than that counts as hum: the peak of a hum
 * is 1.4 of its own deviations, a touch that is worth anything is many of them.
 */
const WILD = 8;
/** So many samples at a time. */
const PIECE = 4_000;

/**
 * Takes drift and hum out of a take, in small pieces.
 *
 * @param out by pad, which samples are of touches and tell nothing of rest; null: none are known yet
 */
export function* cleanSeries(
  { times, raws }: Series,
  out: readonly Uint8Array[] | null,
): Steps<Clean> {
  const rest = raws.map((series, pad) => slowRest(times, series, out?.[pad] ?? null));
  const hums = raws.map(newHum);
  // Neither hum nor touches known yet: most of what is far from rest is the one or the other.
  const most = raws.map((series, pad) =>
    Math.max(1, WILD * spreadOf(series.map((raw, k) => raw - rest[pad]![k]!))),
  );
  yield;
  const mains = newMains();
  const change = raws.map((series) => new Float64Array(series.length).fill(NaN));
  for (let pass = 0; pass < PASSES; pass++) {
    yield;
    let before = NaN;
    for (let k = 0; k < times.length; k++) {
      if (k % PIECE === PIECE - 1) yield;
      mainsAt(times[k]!, mains);
      const step = times[k]! - before;
      before = times[k]!;
      for (let pad = 0; pad < raws.length; pad++) {
        const left = raws[pad]![k]! - rest[pad]![k]! - humOf(hums[pad]!, mains);
        change[pad]![k] = left;
        if (out?.[pad]?.[k] || !(step > 0)) continue;
        const limit = most[pad]!;
        followHum(hums[pad]!, mains, Math.min(limit, Math.max(-limit, left)), step);
      }
    }
  }
  return { rest, change };
}
