import { parseRules } from '../../../../instrument/rules.js';
import type { Rules } from '../../../../instrument/types.js';

/**
 * Rules from values as a rules file writes them, by key: what the state says of a seat.
 *
 * @throws FileFault where a value is not one that its key takes
 */
export function rulesOfValues(name: string, values: Readonly<Record<string, string>>): Rules {
  const groups = new Map<string, string[]>();
  const alone: string[] = [];
  for (const [key, value] of Object.entries(values)) {
    const dot = key.indexOf('.');
    if (dot < 0) {
      alone.push(`${key}: ${value}`);
      continue;
    }
    const group = key.slice(0, dot);
    groups.set(group, [...(groups.get(group) ?? []), `  ${key.slice(dot + 1)}: ${value}`]);
  }
  const lines = [...groups].flatMap(([group, keys]) => [`${group}:`, ...keys]);
  return { ...parseRules([...alone, ...lines, ''].join('\n'), name), name };
}
