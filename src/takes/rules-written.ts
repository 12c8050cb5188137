import { rulesShape } from '../instrument/rules.js';
import type { OwnCode, Rules } from '../instrument/types.js';
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
  const own = logic === null ? {} : { logic: { ...logic, file: carriedName(logic) } };
  return { name, ...own, ...Object.fromEntries(written) };
}

/** What carries the module itself needs its name for messages only, and not where the maker's files lie. */
function carriedName({ file, code }: OwnCode): string {
  const absolute = /^([\\/]|[a-z]:)/i.test(file);
  return code !== null && absolute ? file.split(/[\\/]/).slice(-2).join('/') : file;
}

function duration(value: unknown): unknown {
  return typeof value === 'number' ? formatDuration(value) : 'never';
}
