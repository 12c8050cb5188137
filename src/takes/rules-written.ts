import { rulesShape } from '../instrument/rules.js';
import type { Rules } from '../instrument/types.js';
import { formatDuration } from '../time/micros.js';

/**
 * Rules as a file gives them, with units for times, for whoever puts them into another file:
 * `parseRules` reads them as they were.
 */
export function rulesAsWritten({ name, logic, ...groups }: Rules): Record<string, unknown> {
  const shape = rulesShape();
  const written = Object.entries(groups).map(([group, keys]) => {
    const shapes = shape.properties?.[group]?.properties ?? {};
    const values = Object.entries(keys).map(([key, value]: [string, unknown]) => [
      key,
      shapes[key]?.title?.includes('duration') === true ? duration(value) : value,
    ]);
    return [group, Object.fromEntries(values) as unknown];
  });
  return { name, ...(logic === null ? {} : { logic }), ...Object.fromEntries(written) };
}

function duration(value: unknown): unknown {
  return typeof value === 'number' ? formatDuration(value) : 'never';
}
