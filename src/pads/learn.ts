import { MILLISECOND, type Micros } from '../time/micros.js';

/** How long an uncalibrated pad's readings are watched before its touches may count. */
export const LEARN_FOR: Micros = 300 * MILLISECOND;

/**
 * The least change that is taken for a full touch before a pad has shown a touch of its own: this
 * share of full scale. Common practice, no source: a low guess plays on weak builds, and a first
 * touch corrects it.
 */
const LEAST_SPAN = 0.02;

/**
 * A signal is fit at five times its peak-to-peak noise (Cypress 001-64846 §2.4.1), and a touch
 * begins at half the span: so no less than ten times the noise may be taken for a full touch.
 */
const SPAN_TO_NOISE = 10;

/** Readings further above the lowest one than this share of full scale are touches, not noise. */
const WIDEST_NOISE = 0.01;

/** What was seen of one pad while nobody should have touched it. */
export interface Learning {
  until: Micros;
  readonly raws: number[];
}

/** The guess to start playing with, in raw counts. */
export interface Guess {
  readonly rest: number;
  readonly span: number;
  readonly noise: number;
}

export function startLearning(): Learning {
  return { until: Infinity, raws: [] };
}

/** Takes one reading in; the time to learn counts from a pad's first one. */
export function learn(seen: Learning, t: Micros, raw: number): void {
  if (seen.raws.length === 0) seen.until = t + LEARN_FOR;
  seen.raws.push(raw);
}

/**
 * Rest, noise and a low span from what was seen. A touch only adds to a reading that was not
 * calibrated, so where somebody did touch, the lowest readings are still those at rest. A pad that
 * sent nothing is taken for 0 at rest.
 *
 * @param full the raw value of full scale
 */
export function guess(seen: Learning, full: number): Guess {
  const sorted = [...seen.raws].sort((a, b) => a - b);
  const lowest = sorted[0] ?? 0;
  const quiet = sorted.filter((raw) => raw <= lowest + Math.max(1, WIDEST_NOISE * full));
  const noise = (quiet.at(-1) ?? lowest) - lowest;
  const rest = quiet[quiet.length >> 1] ?? 0;
  return { rest, span: Math.max(1, LEAST_SPAN * full, SPAN_TO_NOISE * noise), noise };
}
