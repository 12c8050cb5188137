import { describeRules } from '../instrument/rules.js';
import type { Kind, Rules } from '../instrument/types.js';

/** A key whose value differs between two rule sets, with both values as a rules file gives them. */
export interface RuleChange {
  readonly key: string;
  readonly a: string;
  readonly b: string;
  /** What the key does, in a sentence. */
  readonly about: string;
  /** False where the key is of another kind of instrument and so changes nothing here. */
  readonly matters: boolean;
}

const KINDS: ReadonlySet<string> = new Set<Kind>(['strings', 'keys', 'holes', 'hits']);

/** Which keys differ, in the order of the file. The name is not one of them. */
export function compareRules(a: Rules, b: Rules, kind: Kind): RuleChange[] {
  const ofB = new Map(describeRules(b).map(({ key, value }) => [key, value]));
  return describeRules(a).flatMap(({ key, value, about }) => {
    const other = ofB.get(key) ?? '';
    const sameFile = key === 'logic' && a.logic?.code !== b.logic?.code;
    if (other === value && !sameFile) return [];
    const group = key.slice(0, key.indexOf('.'));
    return [{ key, a: value, b: other, about, matters: !KINDS.has(group) || group === kind }];
  });
}
