import { rulesShape } from '../../instrument/rules.js';
import type { Shape } from '../../instrument/shape.js';
import type { Kind } from '../../instrument/types.js';
import type { RuleControl } from '../link/state.js';

/** Keys of these groups are of one kind of instrument only; of all others, of every kind. */
const KINDS: readonly string[] = ['strings', 'keys', 'holes', 'hits'] satisfies Kind[];

/**
 * What can be set of a rule set, in the order of the file. A module of somebody's own is not among
 * it: what runs on this computer is said in its files only.
 */
export function ruleControls(): RuleControl[] {
  return Object.entries(rulesShape().properties ?? {}).flatMap(([group, { properties }]) =>
    Object.entries(properties ?? {}).map(([key, shape]) => ({
      key: `${group}.${key}`,
      about: shape.description ?? '',
      takes: takesOf(shape),
      kind: KINDS.includes(group) ? (group as Kind) : null,
    })),
  );
}

function takesOf({ type, title, minimum = 0, maximum, ...shape }: Shape): RuleControl['takes'] {
  if (shape.enum) return { type: 'choice', of: shape.enum.map(String) };
  if (type === 'boolean') return { type: 'yes-no' };
  if (type === 'integer' || type === 'number') {
    return { type: 'number', least: minimum, most: maximum ?? null, whole: type === 'integer' };
  }
  if (title?.includes('duration')) return { type: 'time', none: title.includes('never') };
  return { type: 'text' };
}
