import { randomOf } from './random.js';

/** A pad's rest as it wanders: raw counts at a time in seconds of the session, 0 at its start. */
export type Drift = (seconds: number) => number;

/** The time in which a rest wanders as far as a grade says. */
export const DRIFT_WITHIN = 120;

/** Longest session: a calibration, a gap and ten minutes of nobody playing fit in. */
const LONGEST = 1_200;

/** The walk is pulled back to where it began within about this time, so that it stays bounded. */
const WALK_BACK = 60;

/**
 * Two things move a rest. What is warming up (the board, a hand near it) settles exponentially, as
 * any body that exchanges heat does (Newton's law of cooling; time constants of 25 to 90 s are memory).
 * Damp hands and bending tape make a slow walk (common practice that they do; here an
 * Ornstein-Uhlenbeck process of one step a second). Warming moves most pads to the same side.
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

  const walk = new Float64Array(LONGEST + 2);
  const step = Math.sqrt(2 / WALK_BACK);
  for (let k = 1; k < walk.length; k++) {
    walk[k] = walk[k - 1]! * (1 - 1 / WALK_BACK) + step * random.gauss();
  }

  const shape = (seconds: number): number => {
    const t = Math.min(LONGEST, Math.max(0, seconds));
    const k = Math.floor(t);
    const part = t - k;
    // Smooth from knot to knot: a rest has no corners.
    const smooth = part * part * (3 - 2 * part);
    const walked = walk[k]! + (walk[k + 1]! - walk[k]!) * smooth;
    return side * warm * (1 - Math.exp(-t / settles)) + (1 - warm) * 0.5 * walked;
  };

  let furthest = 0;
  for (let t = 0; t <= DRIFT_WITHIN; t += 0.5) furthest = Math.max(furthest, Math.abs(shape(t)));
  const scale = size / furthest;
  return (seconds) => scale * shape(seconds);
}
