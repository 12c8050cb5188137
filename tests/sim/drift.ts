import { randomOf, type Random } from './random.js';

/** A pad's rest as it wanders: raw counts at a time in seconds of the session, 0 at its start. */
export type Drift = (seconds: number) => number;

/** The time in which a rest wanders as far as a grade says. */
export const DRIFT_WITHIN = 120;

/** Longest session: a calibration, a gap and ten minutes of nobody playing fit in. */
const LONGEST = 1_200;

/** The walk is pulled back to where it began within about this time, so that it stays bounded. */
const WALK_BACK = 60;
/** And follows what pushes it within about this time: what is slow has no corners. */
const WALK_AFTER = 8;

/** A slow walk in steps of a second, from 0, at most about 1 away within DRIFT_WITHIN and 1.5 ever. */
function walkOf(random: Random): Float64Array {
  const walk = new Float64Array(LONGEST + 2);
  let pushed = 0;
  let furthest = 0;
  for (let k = 1; k < walk.length; k++) {
    pushed += -pushed / WALK_BACK + random.gauss();
    walk[k] = walk[k - 1]! + (pushed - walk[k - 1]!) / WALK_AFTER;
    if (k <= DRIFT_WITHIN) furthest = Math.max(furthest, Math.abs(walk[k]!));
  }
  return walk.map((value) => 1.5 * Math.tanh(value / furthest / 1.5));
}

/**
 * Two things move a rest. What is warming up (the board, a hand near it) settles exponentially, as
 * any body that exchanges heat does (Newton's law of cooling; time constants of 25 to 90 s are memory).
 * Damp hands and bending tape make a slow walk (common practice that they do; here a
 * low-passed Ornstein-Uhlenbeck process). Warming moves most pads to the same side.
 *
 * @param size the furthest departure from the start within DRIFT_WITHIN, in raw counts
 */
export function driftOf(seed: number, pad: number, size: number): Drift {
  if (size === 0) return () => 0;
  const random = randomOf(seed, `drift/${String(pad)}`);
  const common = randomOf(seed, 'drift').chance(0.5) ? 1 : -1;
  const side = random.chance(0.8) ? common : -common;
  const warm = random.between(0.3, 0.8);
  const settles = random.between(25, 90);

  const walk = walkOf(random);

  function shape(seconds: number, way: number): number {
    const t = Math.min(LONGEST, Math.max(0, seconds));
    const k = Math.floor(t);
    const part = t - k;
    const walked = walk[k]! + (walk[k + 1]! - walk[k]!) * part;
    return side * warm * (1 - Math.exp(-t / settles)) + way * (1 - warm) * walked;
  }

  function furthest(way: number): number {
    let most = 0;
    for (let t = 0; t <= DRIFT_WITHIN; t += 0.5) most = Math.max(most, Math.abs(shape(t, way)));
    return most;
  }

  // Where the two would undo each other, what is left would have to be blown up.
  const way = furthest(1) >= 0.5 ? 1 : -1;
  const scale = size / furthest(way);
  return (seconds) => scale * shape(seconds, way);
}
