import type { core } from 'zod';
import type { Path } from './document.js';
import { fixKey, fixValue } from './fix.js';
import { choiceKeys, choiceOf, meant, shapeAt, valueAt, type Shape } from './shape.js';
import { allowedWords, foundWords } from './words.js';

/** A problem by its place in the data instead of its place in the text. */
export interface Complaint {
  readonly path: Path;
  /** Whether it is the key that is wrong, or the value. */
  readonly part?: 'key' | 'value';
  readonly found: string;
  readonly allowed: string;
  readonly fix: string;
  /** The key that was meant, where a key is misspelt. */
  readonly meant?: string;
}

/** Turns what the schema refused into what a teacher can fix. */
export function explain(
  issues: readonly core.$ZodIssue[],
  root: unknown,
  shape: Shape,
): Complaint[] {
  const complaints = issues.flatMap((issue) => explainOne(issue, [], root, shape));
  // Where `opne` was written for `open`, nobody wants to hear that `open` is missing too.
  const spelt = complaints.filter((one) => one.meant !== undefined);
  return complaints.filter(
    ({ path }) =>
      !spelt.some((one) => same([...one.path.slice(0, -1), one.meant!], path)) ||
      valueAt(root, path) !== undefined,
  );
}

function explainOne(
  issue: core.$ZodIssue,
  above: Path,
  root: unknown,
  shape: Shape,
): readonly Complaint[] {
  const path = [...above, ...issue.path.map((step) => (typeof step === 'symbol' ? '' : step))];
  const node = shapeAt(shape, root, path);
  const value = valueAt(root, path);
  const keys = choiceKeys(node ?? {});
  const given = typeof value === 'object' && value !== null ? Object.keys(value) : [];
  const known = given.filter((key) => keys.includes(key));
  if (node && known.length > 1) return [tooMany(path, known, node)];
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => unknownKey(path, key, value, node && meant(node, value)));
  }
  if (issue.code === 'invalid_union' && node?.anyOf) {
    const inner = issue.errors[choiceOf(node, value)];
    if (inner) return inner.flatMap((one) => explainOne(one, path, root, shape));
    if (keys.length > 0 && given.length > 0) {
      const choices = Object.fromEntries(keys.map((key) => [key, {}]));
      return given.map((key) => unknownKey(path, key, value, { properties: choices }));
    }
  }
  const one = node && meant(node, value);
  const shown = node && choiceOf(node, value) < 0 ? node : one;
  const allowed = issue.code === 'custom' ? issue.message : allowedWords(shown);
  return [{ path, found: foundWords(value), allowed, fix: fixValue(path, value, allowed, one) }];
}

function unknownKey(path: Path, key: string, owner: unknown, shape: Shape | undefined): Complaint {
  const keys = Object.keys(shape?.properties ?? {});
  const free = keys.filter((one) => valueAt(owner, [one]) === undefined);
  const fixed = fixKey(key, free, shape);
  return {
    path: [...path, key],
    part: 'key',
    found: 'a key that is not known here',
    allowed: keys.join(', '),
    ...fixed,
  };
}

function tooMany(path: Path, known: readonly string[], node: Shape): Complaint {
  return {
    path,
    found: `the keys ${known.join(' and ')} together`,
    allowed: allowedWords(node),
    fix: `Keep one of ${known.join(' and ')}, and take the other away`,
  };
}

function same(a: Path, b: Path): boolean {
  return a.length === b.length && a.every((step, i) => step === b[i]);
}
