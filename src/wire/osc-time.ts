import { SECOND, type Micros } from '../time/micros.js';

/**
 * An OSC time tag: seconds since the start of 1900 and a fraction of a second in parts of 2^32.
 * (OSC 1.0: 64-bit fixed point; seconds 0 with fraction 1 is "immediately".)
 */
export interface OscTimeTag {
  readonly seconds: number;
  readonly fraction: number;
}

export const IMMEDIATELY: OscTimeTag = { seconds: 0, fraction: 1 };

/** Seconds from the start of 1900 to that of 1970 (RFC 868 gives this number). */
const SECONDS_1900_TO_1970 = 2_208_988_800;
const PARTS = 2 ** 32;

/** @param unix microseconds since the start of 1970 */
export function oscTimeTag(unix: Micros): OscTimeTag {
  const whole = Math.floor(unix / SECOND);
  const rest = unix - whole * SECOND;
  // Below 2^32 also when rounded: the largest is 999999 / 1000000 · 2^32.
  const fraction = Math.round((rest / SECOND) * PARTS);
  return { seconds: (whole + SECONDS_1900_TO_1970) % PARTS, fraction };
}

/** @returns microseconds since the start of 1970, or undefined for "immediately" */
export function unixTime(tag: OscTimeTag): Micros | undefined {
  if (tag.seconds === IMMEDIATELY.seconds && tag.fraction === IMMEDIATELY.fraction)
    return undefined;
  const rest = Math.round((tag.fraction / PARTS) * SECOND);
  return (tag.seconds - SECONDS_1900_TO_1970) * SECOND + rest;
}
