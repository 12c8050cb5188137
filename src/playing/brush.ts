import type { Rules } from '../instrument/types.js';
import type { Strike } from '../pads/touch.js';
import type { Micros } from '../time/micros.js';

/** A pluck that may have been a brush: it waits to be told from one. */
export interface Doubt {
  readonly strike: Strike;
  /** When the wait is over. */
  until: Micros;
  /** It only waits for the strength of a string next to it that is just being plucked. */
  untold: boolean;
  /** The finger is off the pad, or bounces. */
  loose: boolean;
}

/** A finger that is off the pad when the wait is over was a brush, unless it only waited for another. */
export const isWaiting = ({ loose, untold }: Doubt): boolean => untold || !loose;

/** When a string was plucked last, and how firmly. */
export type LastPluck = Pick<Strike, 'onset' | 'reach' | 'shown'>;

/** How firm a pluck was, seen from one beside it: what was read of it may be more than it is told to reach. */
export const firmness = ({ reach, shown }: Pick<Strike, 'reach' | 'shown'>): number =>
  Math.max(reach, shown);

/**
 * Whether a pluck may only have brushed its string: weak, and right beside a firm one of a string
 * next to it. Only one that has begun is looked at: no note waits to see whether another comes.
 *
 * @param beside the last plucks of the strings next to it; undefined before their first
 */
export function mayBeBrush(
  strike: Pick<Strike, 'onset' | 'shown'>,
  beside: readonly (LastPluck | undefined)[],
  rules: Pick<Rules['strings'], 'brush' | 'brush-share'>,
): boolean {
  const window = rules.brush;
  if (window === null) return false;
  return beside.some(
    (other) =>
      other !== undefined &&
      Math.abs(strike.onset - other.onset) <= window &&
      strike.shown < rules['brush-share'] * firmness(other),
  );
}

/**
 * Whether a pluck has to wait for the strength of one beside it, which is just beginning. One that is
 * firm beside a full touch (level 1) does not: a still harder one might make it a brush, but then every
 * note of a chord would wait for the others.
 */
export function maySoonBeBrush(
  { shown }: Pick<Strike, 'shown'>,
  rules: Pick<Rules['strings'], 'brush-share'>,
): boolean {
  return shown < rules['brush-share'];
}
