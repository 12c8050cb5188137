import type { Path } from './document.js';
import { nearest } from './near.js';
import { fixScalar } from './scalars.js';
import { choiceKeys, type Shape } from './shape.js';
import { foundWords } from './words.js';

/** What to do about a key that is not known, and the key that was meant where it is misspelt. */
export function fixKey(
  key: string,
  free: readonly string[],
  shape: Shape | undefined,
): { fix: string; meant?: string } {
  for (const [name, { properties }] of Object.entries(shape?.properties ?? {})) {
    if (properties && Object.hasOwn(properties, key)) return { fix: `Move it under "${name}:"` };
  }
  const meant = nearest(key, free);
  if (meant !== undefined) return { fix: `Did you mean "${meant}"?`, meant };
  if (/^\d+$/.test(key)) return { fix: `Write a point, not a comma, in numbers: 0.${key}, say` };
  const [, before, after] = /^([a-z-]+):([\w.#-]+)$/.exec(key) ?? [];
  if (before !== undefined && after !== undefined) {
    return { fix: `Put a space after the colon: "${before}: ${after}"` };
  }
  return { fix: 'Take it away, or write one of the allowed keys instead' };
}

/** What to do about a value that does not fit, as closely as can be told. */
export function fixValue(
  path: Path,
  value: unknown,
  allowed: string,
  shape: Shape | undefined,
): string {
  const help = shape?.description === undefined ? '' : `. ${sentence(shape.description)}`;
  const key = path.at(-1);
  const special = fixScalar(shape?.title, value);
  if (special !== undefined) return special;
  if (value === undefined && typeof key === 'string') return `Add "${key}:" and its value${help}`;
  return byType(path, value, shape) ?? `Change it to ${allowed}${help}`;
}

function byType(path: Path, value: unknown, shape: Shape | undefined): string | undefined {
  const key = path.at(-1);
  if (shape?.enum && typeof value === 'string') {
    const meant = nearest(value, shape.enum.map(String));
    return meant === undefined ? undefined : `Did you mean "${meant}"?`;
  }
  switch (shape?.type) {
    case 'boolean':
      if (/^(yes|on|y|1)$/i.test(String(value))) return 'Write true';
      return /^(no|off|n|0)$/i.test(String(value)) ? 'Write false' : undefined;
    case 'number':
    case 'integer':
      return fixNumber(value, shape.maximum);
    case 'array':
      if (Array.isArray(value)) return undefined;
      if (typeof value === 'object') return 'Start each entry of the list with "- "';
      return `Put square brackets round it: [${foundWords(value).replace(/"/g, '')}]`;
    case 'object':
    case undefined:
      return fixKeys(key, value, shape);
    default:
      return undefined;
  }
}

function fixNumber(value: unknown, most: number | undefined): string | undefined {
  if (typeof value === 'number') {
    const isPercent = most === 1 && value > 1 && value <= 100;
    return isPercent ? `Write ${String(value)} % as ${String(value / 100)}` : undefined;
  }
  if (typeof value !== 'string') return undefined;
  if (/^\d+(\s+\d+)+$/.test(value)) return 'Put a comma between the numbers';
  const [, digits, percent] = /^(-?\d+(?:[.,]\d+)?)\s*(%?)$/.exec(value.trim()) ?? [];
  if (digits === undefined) return undefined;
  const number = Number(digits.replace(',', '.'));
  if (percent === '%') return `Write ${value.trim()} as ${String(number / 100)}`;
  return digits.includes(',')
    ? `Write a point, not a comma: ${digits.replace(',', '.')}`
    : `Take the quotation marks away: ${digits}`;
}

function fixKeys(
  key: string | number | undefined,
  value: unknown,
  shape: Shape | undefined,
): string | undefined {
  if (typeof value === 'string' && /^[a-z-]+:\S/.test(value)) return 'Put a space after the colon';
  const [example] = shape?.examples ?? [];
  if (shape?.anyOf && choiceKeys(shape).includes(String(value))) {
    return `Write "${String(value)}: {}"`;
  }
  if (example !== undefined) return `Write it as ${written(example)}, say`;
  if (shape?.anyOf) return undefined;
  if (key === undefined)
    return 'Write each key on a line of its own, as the examples in config/ do';
  if (value === null && (shape?.required ?? []).length === 0) return `Write "${String(key)}: {}"`;
  return 'Write its keys on lines of their own below it, two spaces further in';
}

/** An example as people write it on one line. */
function written(example: unknown): string {
  return JSON.stringify(example).replace(/"/g, '').replace(/[{:,]/g, '$& ').replace(/}/g, ' }');
}

/** A description as one more sentence of a fix, which ends without a full stop. */
function sentence(description: string): string {
  return description.replace(/\.$/, '');
}
