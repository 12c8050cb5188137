import type { Rules } from '../instrument/types.js';

/** Where a touch begins and may end, in levels. */
export interface Thresholds {
  readonly on: number;
  readonly off: number;
}

/**
 * How far over the noise a touch must be, in its standard deviations. Twenty pads at 250 scans a
 * second give three million readings in ten minutes, and no note may come of them.
 *
 * ALONE: one reading in a billion of normal noise is further out (one side, standard tables).
 * FIRST and NEXT: a first reading and the one after it, both, in either order; together as rare
 * (3·10⁻⁶ · 5·10⁻⁴). PAIR: two readings that both are at NEXT, added up (their sum has √2 deviations).
 */
export const ALONE = 6;
export const FIRST = 4.5;
export const NEXT = 3.3;
export const PAIR = 8.3;

/** The touch may end at this share of the threshold that noise asks for. */
const HYSTERESIS = 0.6;

/** How far over the noise the first reading of a touch must be: less where a second one is awaited. */
export function leastFor(rules: Pick<Rules, 'strength'>): number {
  return rules.strength.readings > 0 ? FIRST : ALONE;
}

/**
 * A pad's own thresholds: those of the rules, raised as far as its noise asks for.
 *
 * @param noise the least level that is surely over the noise
 */
export function raised(rules: Thresholds, noise: number): Thresholds {
  if (noise <= rules.on) return rules;
  return { on: noise, off: Math.max(rules.off, HYSTERESIS * noise) };
}

/** The same upper threshold for a reading after one at `first`, which was over NEXT times the noise. */
export function pairedOn(rules: Thresholds, first: number, noise: number, on: number): number {
  return Math.min(on, Math.max(rules.on, NEXT * noise, PAIR * noise - first));
}
