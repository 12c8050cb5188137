import { NAMES, type Name } from './osc-names.js';
import { TemplateError, nameAt } from './osc-template-error.js';

/** A piece of an address: fixed text, or a name to be filled in. */
export type AddressPart = { readonly text: string } | { readonly name: Name };

/** What OSC 1.0 keeps out of addresses; braces mean a name here. */
const FORBIDDEN = /[^!-~]|[#*,?[\]{}]/;

/**
 * Reads the address of a template.
 *
 * @param column where it begins in the line, counted from 1
 * @throws TemplateError
 */
export function parseAddress(address: string, column: number): AddressPart[] {
  if (!address.startsWith('/')) {
    throw new TemplateError(`"${address}" is no address`, column, 'An OSC address begins with /');
  }
  const empty = /\/(?=\/|$)/.exec(address);
  if (empty) {
    const next = 'Write a name after each /';
    throw new TemplateError('the address has an empty part', column + empty.index, next);
  }
  const parts: AddressPart[] = [];
  let at = 0;
  for (const piece of address.matchAll(/\{([^{}]*)\}|[^{}]+|[{}]/g)) {
    at = column + piece.index;
    parts.push(piece[1] === undefined ? fixed(piece[0], at) : filled(piece[1], at + 1));
  }
  return parts;
}

function fixed(text: string, column: number): AddressPart {
  const bad = FORBIDDEN.exec(text);
  if (!bad) return { text };
  const [character] = bad;
  if (character === '{' || character === '}') {
    throw new TemplateError('a brace stands alone', column, 'Write a name in braces, as {seat}');
  }
  const what = `an OSC address cannot hold "${character}"`;
  throw new TemplateError(what, column + bad.index, 'Use letters, digits and - or _');
}

function filled(text: string, column: number): AddressPart {
  const name = nameAt(text, column);
  if (NAMES[name].inAddress) return { name };
  const next = `Send it as an argument, as ${name}:f`;
  throw new TemplateError(`${name} cannot be part of an address`, column, next);
}
