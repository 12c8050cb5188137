import type { Instrument } from '../../../../instrument/types.js';
import type { RuleControl } from '../../../link/state.js';

export interface RuleGroup {
  /** What stands before the dot in its keys. */
  readonly name: string;
  readonly controls: readonly RuleControl[];
}

/** From the finger on to the sound; what is not here comes last, in the order of the file. */
const ORDER = ['touch', 'strength', 'velocity', 'strings', 'keys', 'holes', 'hits', 'voices'];

/** The controls that mean something for this kind of instrument, grouped by what they are of. */
export function ruleGroups(
  controls: readonly RuleControl[],
  kind: Instrument['kind'],
): readonly RuleGroup[] {
  const groups = new Map<string, RuleControl[]>();
  for (const control of controls) {
    if (control.kind !== null && control.kind !== kind) continue;
    const name = control.key.split('.')[0] ?? control.key;
    const own = groups.get(name);
    if (own) own.push(control);
    else groups.set(name, [control]);
  }
  return [...groups]
    .map(([name, own]) => ({ name, controls: own }))
    .sort((a, b) => rank(a.name) - rank(b.name));
}

function rank(name: string): number {
  const at = ORDER.indexOf(name);
  return at < 0 ? ORDER.length : at;
}
