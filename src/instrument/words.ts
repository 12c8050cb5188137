import { choiceKeys, type Shape } from './shape.js';

/** What may stand there, in words. */
export function allowedWords(shape: Shape | undefined): string {
  if (shape === undefined) return 'nothing';
  if (shape.title !== undefined && shape.type !== 'object') return shape.title;
  if (shape.anyOf) {
    const keys = choiceKeys(shape);
    if (keys.length === shape.anyOf.length) return `one of the keys ${keys.join(', ')}`;
    const named = shape.anyOf.filter(({ type }) => type !== 'null' || shape.default !== null);
    return named.map(allowedWords).join(', or ');
  }
  if (shape.enum) return shape.enum.join(', ');
  switch (shape.type) {
    case 'integer':
      return `a whole number${range(shape)}`;
    case 'number':
      return `a number${range(shape)}`;
    case 'boolean':
      return 'true or false';
    case 'array':
      return listWords(shape);
    case 'object':
      return `the keys ${Object.keys(shape.properties ?? {}).join(', ')}`;
    case 'null':
      return 'null';
    default:
      return 'a text';
  }
}

function listWords({ minItems = 0, maxItems }: Shape): string {
  if (maxItems !== undefined) return `a list of ${String(minItems)} to ${String(maxItems)}`;
  return minItems > 0 ? 'a list of at least one' : 'a list';
}

/** What does stand there, in words and on one line. */
export function foundWords(value: unknown): string {
  if (value === undefined || value === null) return 'nothing';
  if (typeof value === 'string') {
    return JSON.stringify(cut(value));
  }
  if (Array.isArray(value)) {
    return value.length === 0 ? 'an empty list' : `a list of ${String(value.length)}`;
  }
  if (typeof value === 'object') {
    const keys = Object.keys(value);
    return keys.length === 0 ? 'no keys' : `the keys ${cut(keys.map(plainKey).join(', '))}`;
  }
  return String(value as number | boolean);
}

function plainKey(key: string): string {
  return /^[\w-]+$/.test(key) ? key : JSON.stringify(key);
}

function cut(words: string): string {
  return words.length > 60 ? `${words.slice(0, 57)}...` : words;
}

function range({ minimum, maximum }: Shape): string {
  // zod gives whole numbers the limits of what JavaScript counts exactly; no person asks for those.
  const least = minimum === Number.MIN_SAFE_INTEGER ? undefined : minimum;
  const most = maximum === Number.MAX_SAFE_INTEGER ? undefined : maximum;
  if (least !== undefined && most !== undefined) return ` from ${String(least)} to ${String(most)}`;
  return least === undefined ? '' : `, ${String(least)} or more`;
}
