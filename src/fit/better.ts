import { PLAIN } from '../instrument/rules.js';
import type { Rules } from '../instrument/types.js';
import { same, valueOf, type FitKey, type Value } from './keys.js';
import { against, totalOf, type Mark } from './marks.js';

/**
 * How sure a gain must be. Of errors that one value makes and the other does not, chance alone gives
 * each side about as many: a net of √n of n is one standard deviation (sign test). Back to a value that
 * somebody chose, or that `plain` has, 1.4 of them are enough; a value that nobody knows needs two.
 */
const KNOWN = { least: 2, deviations: Math.SQRT2 };
const NEW = { least: 3, deviations: 2 };

/** Two milliseconds sooner, or what is worth as much: less is not worth a change. */
const WORTH_A_CHANGE = 0.0004;

/** Whether a value of a key is one that was chosen before: the start's, or plain's. */
export function isKnown(key: string, value: Value, start: Rules): boolean {
  return same(value, valueOf(start, key)) || same(value, valueOf(PLAIN, key));
}

/**
 * Whether marks are so much better than others that a key should have another value for it.
 *
 * @param value what the key would have
 * @param known see `isKnown`
 */
export function beats(
  a: readonly Mark[],
  b: readonly Mark[],
  { key, value, known }: { key: FitKey; value: Value; known: boolean },
): boolean {
  const { fixed, broken, found, beside } = against(a, b);
  const net = fixed - broken;
  const { least, deviations } = known ? KNOWN : NEW;
  const clear = net >= least && net >= deviations * Math.sqrt(fixed + broken);
  // What adds notes without a pluck is only for players whose notes would be missed without it.
  if (key.for === 'notes' && value === true && found === 0) return false;
  if (clear) return true;
  if (net < 0 || key.for === 'notes') return false;
  if (key.for === 'strength' && totalOf(a).rank === null) return false;
  return beside >= WORTH_A_CHANGE;
}

/** Whether marks are better at all, by a note or by what is worth a change beside. */
export function isBetter(a: readonly Mark[], b: readonly Mark[]): boolean {
  const { fixed, broken } = against(a, b);
  return fixed > broken || isSooner(a, b);
}

/** Whether they have as many right notes, and enough beside: sooner, or soft and hard better told. */
export function isSooner(a: readonly Mark[], b: readonly Mark[]): boolean {
  const { fixed, broken, beside } = against(a, b);
  return fixed >= broken && beside >= WORTH_A_CHANGE;
}
