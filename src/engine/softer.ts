import { amplitudeOfVelocity } from './builtin/loudness.js';

/** By the square law the root of the amplitude is a straight line over the velocity. */
const SOFTEST = Math.sqrt(amplitudeOfVelocity(1));
const SLOPE = (Math.sqrt(amplitudeOfVelocity(127)) - SOFTEST) / 126;

/**
 * The velocity at which a note sounds softer by a factor on its amplitude, by the square law of
 * velocity (builtin/loudness). The nearest whole one, and 1 where even that is too loud.
 *
 * @param velocity 1 to 127
 * @param factor 0 to 1
 * @example softer(127, 0.5) // 92: −6.0 dB
 */
export function softer(velocity: number, factor: number): number {
  if (factor === 1) return velocity;
  const root = Math.sqrt(amplitudeOfVelocity(velocity) * factor);
  return Math.max(1, Math.round(1 + (root - SOFTEST) / SLOPE));
}
