import { nearest } from '../instrument/near.js';
import { NAMES, type Name } from './osc-names.js';

/** A message template that cannot be read: what is wrong, where in the line, and what to write. */
export class TemplateError extends Error {
  override readonly name = 'TemplateError';

  constructor(
    /** Without a full stop. */
    readonly what: string,
    /** Counted from 1. */
    readonly column: number,
    /** Without a full stop. */
    readonly next: string,
  ) {
    super(`column ${String(column)}: ${what}. ${next}.`);
  }
}

const KNOWN = Object.keys(NAMES) as Name[];

/** @throws TemplateError with the names there are, and the one that was likely meant */
export function nameAt(text: string, column: number): Name {
  if ((KNOWN as string[]).includes(text)) return text as Name;
  const [begun, ...others] = KNOWN.filter((name) => name.startsWith(text.toLowerCase()));
  const likely = others.length === 0 && begun !== undefined ? begun : nearest(text, KNOWN);
  const meant = likely === undefined ? '' : `Did you mean ${likely}? `;
  throw new TemplateError(
    text === '' ? 'a name is missing' : `there is no "${text}"`,
    column,
    `${meant}The names are ${KNOWN.join(', ')}`,
  );
}
