import { MILLISECOND, type Micros } from '../time/micros.js';
import type { Scan } from '../wire/scan.js';

/** One finger on one pad. */
export interface Gesture {
  readonly pad: number;
  readonly at: Micros;
  readonly until: Micros;
  /** How much of a full touch it reaches, 0 to 1. */
  readonly strength: number;
}

/** A made-up unit: where its pads rest, how far a touch moves them, how much they flicker. */
export interface MadeUnit {
  readonly rest: readonly number[];
  readonly span: readonly number[];
  /** Peak to peak, in raw counts. */
  readonly noise: number;
  readonly full: number;
}

/** Time between scans: 250 a second. */
export const SCAN_EVERY: Micros = 4 * MILLISECOND;

/** A finger needs about this long to flatten on a pad, and to leave it. Memory, no source. */
const LANDING: Micros = 8 * MILLISECOND;

/** Numbers from 0 up to 1, the same ones for the same seed (a 32-bit xorshift, Marsaglia 2003). */
export function seededNumbers(seed: number): () => number {
  let state = seed | 0 || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}

/** How far a gesture moves its pad at time t, 0 to its strength: straight up, flat, straight down. */
function reach({ at, until, strength }: Gesture, t: Micros): number {
  if (t <= at || t >= until + LANDING) return 0;
  const landed = Math.min(1, (t - at) / LANDING);
  const left = Math.min(1, Math.max(0, (until + LANDING - t) / LANDING));
  return strength * Math.min(landed, left);
}

/**
 * The raw readings of a unit while somebody plays it: one scan of all pads every 4 ms from 0 to
 * `length`, input n being pad n.
 */
export function* readingsOf(
  gestures: readonly Gesture[],
  unit: MadeUnit,
  length: Micros,
  seed: number,
): Generator<Scan, void> {
  const random = seededNumbers(seed);
  const waiting = [...gestures].sort((a, b) => a.at - b.at);
  let active: Gesture[] = [];
  const inputs = unit.rest.map((_, pad) => pad);
  for (let t = 0; t <= length; t += SCAN_EVERY) {
    while (waiting[0] && waiting[0].at <= t) active.push(waiting.shift()!);
    active = active.filter((gesture) => t < gesture.until + LANDING);
    const raws = unit.rest.map((rest, pad) => {
      let touched = 0;
      for (const gesture of active) {
        if (gesture.pad === pad) touched = Math.max(touched, reach(gesture, t));
      }
      const noise = (random() - 0.5) * unit.noise;
      const raw = Math.round(rest + touched * unit.span[pad]! + noise);
      return Math.min(unit.full, Math.max(0, raw));
    });
    yield { type: 'scan', t, inputs, raws };
  }
}
