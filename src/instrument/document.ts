import {
  isAlias,
  isCollection,
  isMap,
  isNode,
  isScalar,
  isSeq,
  Lexer,
  LineCounter,
  parseDocument,
  Parser,
  visit,
  type Document,
  type Node,
  type Scalar,
} from 'yaml';
import { FileFault, type Position } from './fault.js';
import { lineUp } from './line-up.js';
import { MISALIGNED, syntaxProblem, type Syntax } from './syntax.js';

export type Path = readonly (string | number)[];

/** A file's content as plain data, and where in the text each part of it stands. */
export interface Opened {
  readonly value: unknown;
  /** The position of the value at `path` or of its key; of the nearest part above it where it is missing. */
  at(path: Path, part?: 'key' | 'value'): Position;
}

/** How much one text may hold. Each is far more than any file here has. */
export interface DocumentLimits {
  /** In UTF-16 units. */
  readonly characters: number;
  /** Lists and keys within one another; a recursive reader overflows at some thousands. */
  readonly levels: number;
  /** Words, numbers, brackets, colons, commas and comments together. */
  readonly signs: number;
  /** Keys of one group. */
  readonly keys: number;
  /** References (`*name`): finding what each one means takes a look through the whole text. */
  readonly references: number;
}

export const DOCUMENT_LIMITS: DocumentLimits = {
  characters: 1_000_000,
  levels: 64,
  signs: 100_000,
  keys: 500,
  references: 100,
};

/**
 * Reads YAML 1.2 (and so JSON) into plain data: no part of it contains itself, and every key is text, a
 * number, true, false or null.
 *
 * @throws FileFault for syntax errors, keys written twice, unknown tags, typographic quotation marks
 *   round a value, and whatever passes `limits`
 */
export function openDocument(
  text: string,
  file: string,
  limits: DocumentLimits = DOCUMENT_LIMITS,
): Opened {
  const lines = new LineCounter();
  const fail = (found: readonly Syntax[]): never => {
    throw new FileFault(found.map((one) => syntaxProblem(file, place(lines, one.offset), one)));
  };
  const tooMuch = beyond(text, limits);
  if (tooMuch !== null) {
    for (let i = text.indexOf('\n'); i >= 0; i = text.indexOf('\n', i + 1)) lines.addNewLine(i + 1);
    return fail([tooMuch]);
  }
  const document = parseDocument(text, {
    lineCounter: lines,
    prettyErrors: false,
    // Also where the text asks for YAML 1.1, in which `on`, `off` and `no` are not words.
    schema: 'core',
    // Not 'silent': then a second document in the text would be left out without a word.
    logLevel: 'error',
    // The reader compares each key with all the others; `inspect` asks a set.
    uniqueKeys: false,
  });
  const found = inspect(document, text, limits);
  const errors = [...document.errors, ...document.warnings].map(({ code, message, pos }) => ({
    code,
    message,
    offset: pos[0],
  }));
  const [first] = errors;
  if (first) {
    const misaligned = MISALIGNED.has(first.code) ? lineUp(text, first.offset) : null;
    if (misaligned) throw new FileFault([{ file, key: '', ...misaligned }]);
    const before = found.find(
      ({ code, offset }) => code === 'CURLY_QUOTES' && offset <= first.offset,
    );
    // What follows a first syntax error is mostly the same error again.
    const cause = before ?? halfCurly(text, first) ?? first;
    return fail([cause, ...found.filter(({ code }) => code === 'DUPLICATE_KEY')]);
  }
  if (found.length > 0) return fail(found);
  return {
    value: plainData(document, fail),
    at: (path, part = 'value') => place(lines, offsetOf(document, path, part)),
  };
}

/**
 * The first limit that a text passes, or null. Asked before the text is composed: the composer calls
 * itself, and a stack that overflows inside a regular expression ends Node 20 without an exception.
 */
function beyond(text: string, { characters, levels, signs }: DocumentLimits): Syntax | null {
  if (text.length > characters) {
    return { code: 'TOO_LONG', message: String(characters), offset: 0 };
  }
  const parser = new Parser();
  let offset = 0;
  let count = 0;
  for (const lexeme of new Lexer().lex(text)) {
    for (const token of parser.next(lexeme)) void token;
    offset = Math.min(offset + lexeme.length, text.length);
    // Each level is a collection and what stands in it.
    if (parser.stack.length > 2 * levels) return { code: 'TOO_DEEP', message: '', offset };
    if (!isBlank(lexeme)) count += 1;
    if (count > signs) return { code: 'TOO_MANY', message: String(signs), offset };
  }
  return null;
}

/** White space, line ends, and the marks (below 0x20) that the reader puts before a plain word. */
function isBlank(lexeme: string): boolean {
  return lexeme.charCodeAt(0) <= 0x20;
}

/** What is refused in a text that the YAML reader takes, in the order of the text. */
function inspect(document: Document, text: string, limits: DocumentLimits): Syntax[] {
  const found: Syntax[] = [];
  const seen = new Set<string>();
  let references = 0;
  const refuse = (code: string, node: unknown, message = '', once = true): void => {
    if (once && seen.has(code)) return;
    seen.add(code);
    found.push({ code, message, offset: startOf(node) ?? 0 });
  };
  visit(document, {
    Map(_key, map) {
      if (map.items.length > limits.keys) {
        refuse('TOO_MANY_KEYS', map.items[limits.keys]?.key, String(limits.keys));
        return visit.BREAK;
      }
      const keys = new Set<string>();
      for (const { key } of map.items) {
        if (isCollection(key) || isAlias(key)) {
          refuse('KEY_NOT_PLAIN', key);
          return visit.SKIP;
        }
        const own = keyText(key);
        if (keys.has(own)) refuse('DUPLICATE_KEY', key, own, false);
        keys.add(own);
      }
      return undefined;
    },
    Scalar(_key, node) {
      const marks = curlyQuotes(node, text);
      if (marks !== null) refuse('CURLY_QUOTES', node, marks, false);
    },
    Alias(_key, node, path) {
      references += 1;
      if (references > limits.references) {
        refuse('TOO_MANY_REFERENCES', node, String(limits.references));
        return visit.BREAK;
      }
      const target = node.resolve(document);
      if (target && path.includes(target)) refuse('BAD_ALIAS', node);
      return undefined;
    },
  });
  return found.sort((a, b) => a.offset - b.offset);
}

/** What word processors make of a quotation mark. */
const CURLY = '“”„‟«»‹›‘’‚‛';
/** Marks that also end a plain word, as an apostrophe does. */
const APOSTROPHES = '‘’';

/** A value in typographic quotation marks, with straight ones round it instead; null where it has none. */
function curlyQuotes({ type, source, range }: Scalar, text: string): string | null {
  if (type !== 'PLAIN' || source === undefined || source.length < 2) return null;
  const [first, last] = [source.charAt(0), source.slice(-1)];
  const begins = CURLY.includes(first);
  const ends = CURLY.includes(last) && (begins || !APOSTROPHES.includes(last));
  if (!begins && !ends) return null;
  // A colon or a comma within the marks ends the value before they do.
  const line = text.slice(range?.[0] ?? 0).split('\n', 1)[0]!;
  const whole = begins ? /^.(.*?)["'“”„‟«»‹›‘’‚‛](?=\s*(?:[,\]}#:]|$))/.exec(line)?.[1] : undefined;
  const inner = whole ?? source.replace(/^["'“”„‟«»‹›‘’‚‛]|["'“”„‟«»‹›‘’‚‛]$/g, '');
  return `"${inner.trim()}"`;
}

/** A straight quotation mark that a typographic one was meant to close. */
function halfCurly(text: string, { code }: Syntax): Syntax | null {
  if (code !== 'MISSING_CHAR') return null;
  const half =
    /(?<=^|[\s:[{,-])(?:"[^"\n]*?[“”„‟«»‹›]|'[^'\n]*?[‘’‚‛‹›])(?=[^\S\n]*(?:[,\]}#]|$))/m.exec(
      text,
    );
  if (!half) return null;
  const message = `"${half[0].slice(1, -1).trim()}"`;
  return { code: 'CURLY_QUOTES', message, offset: half.index };
}

function plainData(document: Document, fail: (found: readonly Syntax[]) => never): unknown {
  try {
    return document.toJS({ maxAliasCount: 100 });
  } catch (error) {
    let offset = 0;
    visit(document, {
      Alias(_key, node) {
        offset = node.range?.[0] ?? 0;
        return visit.BREAK;
      },
    });
    return fail([{ code: 'BAD_ALIAS', message: (error as Error).message, offset }]);
  }
}

function offsetOf(document: Document, path: Path, part: 'key' | 'value'): number {
  let node: unknown = document.contents;
  let offset = startOf(node) ?? 0;
  for (const [depth, step] of path.entries()) {
    const held: unknown = isAlias(node) ? node.resolve(document) : node;
    if (isMap(held)) {
      const pair = held.items.find(({ key }) => keyText(key) === String(step));
      if (!pair) return offset;
      const empty = !isNode(pair.value) || (isScalar(pair.value) && pair.value.value === null);
      const wanted = empty || (part === 'key' && depth === path.length - 1) ? pair.key : pair.value;
      offset = startOf(wanted) ?? offset;
      node = pair.value;
    } else if (isSeq(held)) {
      node = held.items[Number(step)];
      offset = startOf(node) ?? offset;
    } else {
      return offset;
    }
  }
  return offset;
}

function startOf(node: unknown): number | undefined {
  return isNode(node) ? (node as Node).range?.[0] : undefined;
}

function keyText(key: unknown): string {
  const value: unknown = isScalar(key) ? key.value : key;
  return value === null ? '' : String(value);
}

function place(lines: LineCounter, offset: number): Position {
  const { line, col } = lines.linePos(offset);
  return line === 0 ? { line: 1, column: 1 } : { line, column: col };
}
