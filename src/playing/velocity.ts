import type { Rules } from '../instrument/types.js';

/** The range of a synthesizer's loudness from velocity 1 to 127, in decibels. */
const RANGE = 60;

/**
 * Synthesizers follow roughly a square law of velocity: amplitude = (M · velocity + B)², which is 1 at
 * velocity 127 and `RANGE` below that at velocity 1 (Dannenberg, "The interpretation of MIDI
 * velocity", ICMC 2006).
 */
const RATIO = 10 ** (RANGE / 20);
const B = 127 / (126 * Math.sqrt(RATIO)) - 1 / 126;
const M = (1 - B) / 127;

const between = (least: number, most: number, value: number): number =>
  Math.min(most, Math.max(least, value));

/**
 * Makes what gives the MIDI velocity of a strength: both as `Rules` says under `velocity.curve`.
 *
 * @returns a function of a strength, 0 to 1 (one beyond counts as the nearest of these), that gives a
 *   whole number from 1 to 127, which never falls as the strength grows
 */
export function velocityCurve(rules: Rules['velocity']): (strength: number) => number {
  const exact = exactCurve(rules);
  return (strength) => between(1, 127, Math.round(exact(between(0, 1, strength))));
}

function exactCurve({ softest, hardest, curve }: Rules['velocity']): (strength: number) => number {
  if (curve === 'square') {
    return (strength) => between(softest, hardest, (Math.sqrt(strength) - B) / M);
  }
  if (typeof curve === 'number') {
    return (strength) => softest + (hardest - softest) * strength ** curve;
  }
  return straightLines(curve);
}

/** Straight lines from point to point, and flat before the first and after the last. */
function straightLines(
  points: readonly (readonly [number, number])[],
): (strength: number) => number {
  return (strength) => {
    const [to, high] = points.find(([at]) => at >= strength) ?? points.at(-1) ?? [1, 127];
    const [from, low] = points.findLast(([at]) => at < strength) ?? [to, high];
    return from >= to ? high : low + ((high - low) * (strength - from)) / (to - from);
  };
}
