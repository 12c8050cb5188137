import { parseAddress, type AddressPart } from './osc-address.js';
import { NAMES, isSeatName, type Name, type OscType } from './osc-names.js';
import { TemplateError, nameAt } from './osc-template-error.js';

/** One argument: what it speaks of, or the same value each time. */
export type TemplateArg =
  | { readonly type: OscType; readonly name: Name }
  | { readonly type: OscType; readonly value: number | string };

/** A message template, read but not yet tied to a room. */
export interface Template {
  readonly address: readonly AddressPart[];
  readonly args: readonly TemplateArg[];
}

/** Which names a message may hold. */
export type Names = 'all' | 'seat' | 'none';

const TYPES =
  'i (32-bit whole number), f (32-bit float), d (64-bit float), h (64-bit whole), s (text)';
const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i;
const FLOAT32_MAX = 3.4028234663852886e38;

/**
 * Reads a message template: one line with an OSC address and then, parted by blanks, its arguments
 * as `value:type`. A value is a name, a number, or a text in quotes (`\"` and `\\` inside); a type is
 * one of i f s d h. An address may hold names in braces.
 *
 * @example parseTemplate('/bass/{seat}/on string:i frequency:f 0.5:f "soft":s')
 * @param names which names may be used: all, those of a seat in a message that is about no voice, or
 *   none in one that is about no seat either
 * @throws TemplateError with the column and what to write instead
 */
export function parseTemplate(line: string, names: Names = 'all'): Template {
  const at = line.search(/\S/);
  if (at < 0)
    throw new TemplateError('the message is empty', 1, 'Write an address, such as /note/on');
  const address = /\S+/.exec(line)![0];
  const args: TemplateArg[] = [];
  const parts = parseAddress(address, at + 1);
  for (const part of parts) if ('name' in part) requireAllowed(part.name, names, at + 1);

  let rest = at + address.length;
  for (;;) {
    const gap = /^\s*/.exec(line.slice(rest))![0].length;
    rest += gap;
    if (rest >= line.length) return { address: parts, args };
    const column = rest + 1;
    const word = cutWord(line.slice(rest), column);
    const arg = parseArg(word, column);
    if ('name' in arg) requireAllowed(arg.name, names, column);
    args.push(arg);
    rest += word.length;
  }
}

/** One argument with its type; blanks inside quotes belong to it. */
function cutWord(text: string, column: number): string {
  if (!text.startsWith('"')) return /^\S+/.exec(text)![0];
  const quoted = /^"(?:[^"\\]|\\.)*"\S*/.exec(text);
  if (quoted) return quoted[0];
  throw new TemplateError('a text has no closing quote', column, 'End it with " and its type :s');
}

function parseArg(word: string, column: number): TemplateArg {
  const colon = word.lastIndexOf(':');
  const [value, type] = colon < 0 ? [word, ''] : [word.slice(0, colon), word.slice(colon + 1)];
  const quoted = /^"((?:[^"\\]|\\.)*)"$/.exec(word.endsWith('"') ? word : value);
  if (colon < 0 || word.endsWith('"')) {
    const usual = quoted ? 's' : NUMBER.test(word) ? 'f' : NAMES[nameAt(word, column)].types[0]!;
    throw new TemplateError(
      `${word} has no type`,
      column,
      `Write it with one, as ${word}:${usual}`,
    );
  }
  if (!isType(type)) {
    const what = type === '' ? `${value}: has no type` : `there is no type "${type}"`;
    throw new TemplateError(what, column + colon + 1, `Use one of ${TYPES}`);
  }
  if (quoted) return textArg(quoted[1]!, type, column);
  if (NUMBER.test(value)) return numberArg(value, type, column);
  const name = nameAt(value, column);
  const { types } = NAMES[name];
  if (types.includes(type)) return { type, name };
  const wants = types.map((one) => `${name}:${one}`).join(', ');
  throw new TemplateError(`${name} cannot be sent as ${type}`, column, `Write one of ${wants}`);
}

function textArg(quoted: string, type: OscType, column: number): TemplateArg {
  if (type !== 's') {
    throw new TemplateError(`a text in quotes cannot be sent as ${type}`, column, 'Write "…":s');
  }
  const value = quoted.replace(/\\(.)/g, '$1');
  if (!value.includes('\0')) return { type, value };
  throw new TemplateError('an OSC text cannot hold a null character', column, 'Leave it out');
}

function numberArg(text: string, type: OscType, column: number): TemplateArg {
  const value = Number(text);
  const fault = faultOf(value, type);
  if (fault === null) return { type, value };
  const next = type === 's' ? `Write "${text}":s` : 'Write another number or another type';
  throw new TemplateError(`${text} ${fault}`, column, next);
}

function faultOf(value: number, type: OscType): string | null {
  switch (type) {
    case 's':
      return 'is a number and not a text';
    case 'f':
      return Math.abs(value) <= FLOAT32_MAX ? null : 'is too large for f';
    case 'd':
      return Number.isFinite(value) ? null : 'is too large for d';
    case 'h':
      return Number.isSafeInteger(value) ? null : 'is no whole number, or too large for h';
    case 'i':
      return (value | 0) === value ? null : 'is no whole number, or too large for i';
  }
}

function isType(text: string): text is OscType {
  return text.length === 1 && 'ifsdh'.includes(text);
}

/** @throws TemplateError where the message is not about what the name speaks of */
function requireAllowed(name: Name, names: Names, column: number): void {
  if (names === 'all' || (names === 'seat' && isSeatName(name))) return;
  if (names === 'none') {
    const what = 'this message is about no single voice, so it cannot hold a name';
    throw new TemplateError(what, column, 'Use fixed values only');
  }
  const what = `this message is about a seat and no single voice, so it cannot hold ${name}`;
  throw new TemplateError(what, column, 'Use seat, level, pan, sound, kind or fixed values');
}
