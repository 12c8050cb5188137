import { kWeighting, type Biquad } from '../k-weighting.js';

const RATE = 48_000;
/** A low tone is never raised by more than this power, lest its swing eat up the room for all others. */
const LEAST = 0.5;
const [SHELF, HIGH_PASS] = kWeighting(RATE);

/**
 * How loud a sine of so many Hz is to a listener, as a factor on its power: the K-weighting of ITU-R
 * BS.1770, and no less than a half.
 */
export function earWeight(hz: number): number {
  const omega = (2 * Math.PI * Math.min(hz, 0.45 * RATE)) / RATE;
  return Math.max(LEAST, power(SHELF, omega) * power(HIGH_PASS, omega));
}

/** The square of a filter's gain at `omega` radians a sample. */
function power({ b0, b1, b2, a1, a2 }: Biquad, omega: number): number {
  const cos = Math.cos(omega);
  const cosTwo = Math.cos(2 * omega);
  const square = (c0: number, c1: number, c2: number): number =>
    c0 * c0 + c1 * c1 + c2 * c2 + 2 * (c0 * c1 + c1 * c2) * cos + 2 * c0 * c2 * cosTwo;
  return square(b0, b1, b2) / square(1, a1, a2);
}
