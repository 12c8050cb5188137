/** A time or a duration in integer microseconds, on a clock that never falls. */
export type Micros = number;

export const MILLISECOND: Micros = 1_000;
export const SECOND: Micros = 1_000_000;

/** "No wake-up wanted": later than any time. */
export const NEVER: Micros = Infinity;

const UNITS: Readonly<Record<string, Micros>> = {
  us: 1,
  ms: MILLISECOND,
  s: SECOND,
  min: 60 * SECOND,
};

/**
 * Reads a duration as people write it in files: a number and its unit, `us`, `ms`, `s` or `min`.
 *
 * @example parseDuration('4ms') // 4000
 * @returns integer microseconds, or undefined where the text is no duration (a bare number has no unit)
 */
export function parseDuration(text: string): Micros | undefined {
  const match = /^(\d+(?:\.\d+)?)\s*(us|ms|s|min)$/.exec(text.trim());
  if (!match) return undefined;
  return Math.round(Number(match[1]) * UNITS[match[2]!]!);
}

/**
 * Writes a duration as `parseDuration` reads it, in the largest unit that keeps it a whole number.
 *
 * @example formatDuration(4000) // '4ms'
 */
export function formatDuration(micros: Micros): string {
  for (const unit of ['min', 's', 'ms'] as const) {
    const size = UNITS[unit]!;
    if (micros >= size && micros % size === 0) return `${String(micros / size)}${unit}`;
  }
  return `${String(micros)}us`;
}
