import { MILLISECOND, type Micros } from '../time/micros.js';

/** Mains frequencies of the world, in Hz (facts of everyday life, no source). */
const MAINS = [50, 60] as const;

/**
 * How much of what is left over goes into the estimate with each reading: at 250 readings a second
 * an estimate settles in a quarter of a second and keeps about an eighth of the noise. The first
 * readings count for more, so that a session does not begin with a quarter of a second of hum.
 */
const STEP = 1 / 64;
const FIRST_STEPS = 12;

/** Slower readings cannot tell mains hum from a resting level that moves. */
const LONGEST_STEP: Micros = 8 * MILLISECOND;

/**
 * Readings closer than this were late and came in one burst: their times do not tell when they were
 * measured, and a burst that comes in the middle of a touch would teach the touch as hum. No board
 * that is known scans faster than 2,000 times a second.
 */
const SHORTEST_STEP: Micros = MILLISECOND / 2;

/** The mains' phases at one time: cosine and sine for each of MAINS. */
export interface Mains {
  t: Micros;
  readonly waves: Float64Array;
}

export function mainsAt(t: Micros, mains: Mains): void {
  if (mains.t === t) return;
  mains.t = t;
  MAINS.forEach((hz, i) => {
    // Whole turns are taken out first, so that the phase stays exact through a long session.
    const turns = (t * hz) / 1e6;
    const angle = 2 * Math.PI * (turns - Math.floor(turns));
    mains.waves[2 * i] = Math.cos(angle);
    mains.waves[2 * i + 1] = Math.sin(angle);
  });
}

export function newMains(): Mains {
  return { t: NaN, waves: new Float64Array(2 * MAINS.length) };
}

/**
 * The hum of one pad: cosine and sine parts in raw counts for each of MAINS, followed by least mean
 * squares (Widrow & Hoff's adaptive noise cancelling, with the mains as its reference; memory).
 * What it says is taken out of a reading as it comes, so nothing is delayed as by a filter.
 */
export interface Hum {
  readonly parts: Float64Array;
  /** How many readings it was learned from. */
  heard: number;
}

export function newHum(): Hum {
  return { parts: new Float64Array(2 * MAINS.length), heard: 0 };
}

/** The hum's part in a reading at the time of `mains`, in raw counts. */
export function humOf({ parts }: Hum, { waves }: Mains): number {
  return (
    parts[0]! * waves[0]! + parts[1]! * waves[1]! + parts[2]! * waves[2]! + parts[3]! * waves[3]!
  );
}

/**
 * Learns from what is left of a reading at rest, `step` after the one before.
 *
 * @returns false where that is too long or too short to tell hum
 */
export function followHum(hum: Hum, { waves }: Mains, left: number, step: Micros): boolean {
  if (!(step >= SHORTEST_STEP && step <= LONGEST_STEP)) return false;
  hum.heard += 1;
  const gain = 2 * left * Math.max(STEP, 1 / (FIRST_STEPS + hum.heard));
  const { parts } = hum;
  parts[0] = parts[0]! + gain * waves[0]!;
  parts[1] = parts[1]! + gain * waves[1]!;
  parts[2] = parts[2]! + gain * waves[2]!;
  parts[3] = parts[3]! + gain * waves[3]!;
  return true;
}
