/** A touch this much firmer than a full one (by which a unit is calibrated) has strength 1. */
const HARDEST = 1.25;

/** How hard a touch was, from the level it reaches: 0 at the threshold `on`, 1 at HARDEST and over. */
export function strengthOf(reach: number, on: number): number {
  const range = Math.max(1e-6, HARDEST - on);
  return Math.min(1, Math.max(0, (reach - on) / range));
}

/**
 * Of a touch whose strength nobody can tell: velocity 64 by the rules as they come, as MIDI 1.0 has it
 * where a sender is not velocity-sensitive (p10).
 */
export const MIDDLE_STRENGTH = (64 - 20) / (127 - 20);

/** The strength of a touch on a scale of which so much is known, 0 to 1: the less, the nearer to the middle. */
export function strengthAsKnown(strength: number, known: number): number {
  return MIDDLE_STRENGTH + known * (strength - MIDDLE_STRENGTH);
}

/** A second reading under this share of the first one has lost contact: the finger bounced. */
const LOST = 0.9;
/**
 * What a first reading alone says, by the last one before it: it was met anywhere on the way up, so
 * that the truth lies between it and what touches usually reach.
 */
const ALONE = { usual: 0.28, before: -0.7, first: 0.8 } as const;
/**
 * What two readings say. Where they are alike the finger has landed, and they are what it reaches. By
 * far the most says the second; where the finger showed before, or was met halfway and still rises, it
 * lands slowly, and what lands slowly is soft (a harder strike is a quicker one).
 */
const TWO = { before: -0.2, first: -0.14, second: 1.14, rises: -0.47, slowly: -0.82 } as const;

/**
 * The level that a touch reaches, from its first readings.
 *
 * With one reading it is that. With two it is the second, somewhat less for a finger that came
 * slowly; where the second one has lost contact, it is a guess from the first. With more it is the
 * highest. The weights are the least squares' over simulated landings of 4 to 15 ms; on landings that
 * they were not made from (straight, half a sine, exponential, a root, of any time, of 2 to 6 ms, of
 * 8 ms however hard) strengths rank 0.013 better to 0.001 worse than by the second reading alone, less
 * a quarter of the one before the first.
 *
 * @param before the last level before the touch's first reading
 * @param rise levels from that reading on, at least one
 */
export function reachOf(before: number, rise: readonly number[]): number {
  const peak = Math.max(...rise);
  if (rise.length !== 2) return peak;
  const [first, second] = rise as [number, number];
  const early = Math.max(0, before);
  if (second < LOST * first) return ALONE.usual + ALONE.before * early + ALONE.first * first;
  const rises = second - first;
  return (
    TWO.before * early +
    TWO.first * first +
    TWO.second * second +
    rises * (TWO.rises * first + TWO.slowly * early)
  );
}
