import type { Kind } from '../../../instrument/types.js';
import type { Option, OptionGroup } from '../parts/choice.js';
import type { Texts } from '../texts/en.js';

/** The sounds that a kind of instrument can have, for a choice; each by its program, counted from 1. */
export function soundOptions(kind: Kind, { sounds }: Texts): readonly (Option | OptionGroup)[] {
  if (kind === 'hits') {
    return Object.entries(sounds.kits).map(([value, name]) => ({
      value,
      words: `${value} ${name}`,
    }));
  }
  return sounds.groups.map(([group, names], g) => ({
    group,
    options: names.map((name, i) => {
      const value = String(g * names.length + i + 1);
      return { value, words: `${value} ${name}` };
    }),
  }));
}
