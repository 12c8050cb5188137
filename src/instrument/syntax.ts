import type { Position, Problem } from './fault.js';

/** What the YAML reader stumbled over, by its own code and message. */
export interface Syntax {
  readonly code: string;
  readonly message: string;
  /** From the start of the text, in UTF-16 units. */
  readonly offset: number;
}

type Words = readonly [found: string, allowed: string, fix: string];

const MEANT = 'Check that this is the file you meant';

/** The slips that teachers make, by the YAML reader's code, in plain words; % is its own message. */
const KNOWN: Readonly<Record<string, Words>> = {
  DUPLICATE_KEY: [
    'a key that was already given',
    'each key once',
    'Take one of the two lines away',
  ],
  TAB_AS_INDENT: [
    'a tab at the start of the line',
    'spaces',
    'Replace the tab by two spaces a level',
  ],
  BAD_INDENT: [
    'a line that does not line up with those before it, or a bracket that was not closed above it',
    'the same indentation for the keys of one level, and a closing bracket for each opening one',
    'Look for a missing ] or } in the lines above, then line this one up with its neighbours',
  ],
  BLOCK_AS_IMPLICIT_KEY: [
    'two keys that run into one, or a line that does not line up with those before it',
    'one key and its value a line, the keys of one level lined up',
    'Line it up with its neighbours, or put a value with a colon in it in quotation marks',
  ],
  MULTILINE_IMPLICIT_KEY: [
    'a line without a key',
    '"key: value", with a space after the colon',
    'Put a space after the colon of this line',
  ],
  BAD_SCALAR_START: [
    'a value that starts with a sign that YAML keeps for itself',
    'letters, digits, or a text in quotation marks',
    'Put the value in quotation marks',
  ],
  MULTIPLE_DOCS: [
    'a line "---" with more below it',
    'one description a file',
    'Move what stands below the line to a file of its own',
  ],
  TAG_RESOLVE_FAILED: [
    'a value that starts with "!"',
    'plain values',
    'Take the "!" and its word away, or put the value in quotation marks',
  ],
  BAD_DQ_ESCAPE: [
    'a backslash that means nothing here',
    '\\\\ for a backslash inside quotation marks',
    'Double the backslash, or use / in paths',
  ],
  MISSING_CHAR: [
    'a place where a sign is missing (%)',
    'closing quotation marks and brackets, and a comma between entries',
    'Put the missing sign in',
  ],
  CURLY_QUOTES: [
    'typographic quotation marks, which become part of the text',
    'straight quotation marks, or none',
    'Write it with straight ones: %',
  ],
  KEY_NOT_PLAIN: [
    'brackets or a reference where a key should be',
    'a word or a number as a key',
    'Write the key as one word, or check the { and [ of this line',
  ],
  BAD_ALIAS: [
    'a reference (*) that leads nowhere, to itself, or to far too much',
    'a * only for a part marked with & further up, and sparingly',
    'Write the values out instead of referring to them, or put a text that starts with * in quotation marks',
  ],
  TOO_DEEP: [
    'brackets or dashes nested over and over',
    'a few levels',
    'Look for brackets that were never closed, and check that this is the file you meant',
  ],
  TOO_LONG: ['a text of more than % characters', 'a text of at most that', MEANT],
  TOO_MANY: ['more than % words and signs up to here', 'a text of at most that many', MEANT],
  TOO_MANY_KEYS: ['more than % keys in one place', 'at most that many', MEANT],
  TOO_MANY_REFERENCES: [
    'more than % references (*)',
    'at most that many',
    'Write the values out instead of referring to them',
  ],
};

/** What a line that starts in the wrong column is reported as, among other things. */
export const MISALIGNED: ReadonlySet<string> = new Set([
  'BAD_INDENT',
  'BLOCK_AS_IMPLICIT_KEY',
  'MISSING_CHAR',
  'UNEXPECTED_TOKEN',
  'MULTILINE_IMPLICIT_KEY',
]);

/** A syntax error in plain words; the YAML reader's own for what has none yet. */
export function syntaxProblem(file: string, at: Position, { code, message }: Syntax): Problem {
  const [found, allowed, fix] = KNOWN[code] ?? [
    'something that cannot be read (%)',
    'lines of "key: value"',
    'Compare the line with one of the examples in config/',
  ];
  const own = message.replace(/\s+/g, ' ').replace(/[:.]\s*$/, '');
  const filled = (words: string): string => words.replace('%', () => own);
  return { file, at, key: '', found: filled(found), allowed, fix: filled(fix) };
}
