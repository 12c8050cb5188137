/** A touch this much firmer than a full one (by which a unit is calibrated) has strength 1. */
const HARDEST = 1.25;

/** How hard a touch was, from the level it reaches: 0 at the threshold `on`, 1 at HARDEST and over. */
export function strengthOf(reach: number, on: number): number {
  const range = Math.max(1e-6, HARDEST - on);
  return Math.min(1, Math.max(0, (reach - on) / range));
}

/** A second reading under this share of the first one has lost contact: the finger bounced. */
const LOST = 0.9;
/**
 * What a first reading alone says: it was met anywhere on the way up, so that the truth lies
 * between it and what touches usually reach. Chosen on simulated landings of 4 to 15 ms.
 */
const USUAL = 0.4;
const BY_READING = 0.6;
/**
 * A finger that shows already before the threshold lands slowly, and what lands slowly is soft: so
 * much of what shows is taken off, more where there is only one reading to go by.
 */
const SLOWNESS = 0.25;
const SLOWNESS_ALONE = 0.4;

/**
 * The level that a touch reaches, from its first readings.
 *
 * With one reading it is that. With two it is the second, a little less for a finger that came
 * slowly; where the second one has lost contact, it is a guess from the first. With more it is the
 * highest.
 *
 * @param before the last level before the touch
 * @param rise levels from the onset on, at least one
 */
export function reachOf(before: number, rise: readonly number[]): number {
  const peak = Math.max(...rise);
  if (rise.length !== 2) return peak;
  const [first, second] = rise as [number, number];
  const early = Math.max(0, before);
  if (second < LOST * first) return USUAL + BY_READING * first - SLOWNESS_ALONE * early;
  return second - SLOWNESS * early;
}
