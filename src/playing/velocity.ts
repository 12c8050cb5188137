import type { Rules } from '../instrument/types.js';

/**
 * MIDI velocity of a strength (0 to 1): softest + (hardest − softest) · strength^curve, as a whole
 * number from 1 to 127.
 */
export function velocityOf(strength: number, rules: Rules['velocity']): number {
  const { softest, hardest, curve } = rules;
  const exact = softest + (hardest - softest) * strength ** curve;
  return Math.min(127, Math.max(1, Math.round(exact)));
}
