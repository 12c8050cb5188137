import {
  isAlias,
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
} from 'yaml';
import { FileFault, type Position } from './fault.js';
import { syntaxProblem, type Syntax } from './syntax.js';

export type Path = readonly (string | number)[];

/** A file's content as plain data, and where in the text each part of it stands. */
export interface Opened {
  readonly value: unknown;
  /** The position of the value at `path` or of its key; of the nearest part above it where it is missing. */
  at(path: Path, part?: 'key' | 'value'): Position;
}

/** Far deeper than any file here; far less than what overflows a recursive reader. */
const DEEPEST = 64;

/**
 * Reads YAML 1.2 (and so JSON) into plain data.
 *
 * @throws FileFault for syntax errors, keys written twice, unknown tags, runaway aliases and nesting.
 */
export function openDocument(text: string, file: string): Opened {
  const lines = new LineCounter();
  const fail = (found: readonly Syntax[]): never => {
    throw new FileFault(found.map((one) => syntaxProblem(file, place(lines, one.offset), one)));
  };
  const tooDeep = deepest(text);
  if (tooDeep !== null) {
    for (let i = text.indexOf('\n'); i >= 0; i = text.indexOf('\n', i + 1)) lines.addNewLine(i + 1);
    return fail([{ code: 'TOO_DEEP', message: '', offset: tooDeep }]);
  }
  const document = parseDocument(text, {
    lineCounter: lines,
    prettyErrors: false,
    // Also where the text asks for YAML 1.1, in which `on`, `off` and `no` are not words.
    schema: 'core',
    logLevel: 'silent',
  });
  const wrong = [...document.errors, ...document.warnings];
  if (wrong.length > 0) {
    // What follows a first syntax error is mostly the same error again.
    const first = wrong[0]!;
    const shown = wrong.filter((one) => one === first || one.code === 'DUPLICATE_KEY');
    return fail(shown.map(({ code, message, pos }) => ({ code, message, offset: pos[0] })));
  }
  return {
    value: plainData(document, fail),
    at: (path, part = 'value') => place(lines, offsetOf(document, path, part)),
  };
}

/**
 * Where the text nests deeper than any file here does, or null. Asked before the text is composed:
 * the composer calls itself, and a stack that overflows inside a regular expression ends Node 20
 * without an exception.
 */
function deepest(text: string): number | null {
  const parser = new Parser();
  let offset = 0;
  for (const lexeme of new Lexer().lex(text)) {
    void [...parser.next(lexeme)];
    offset = Math.min(offset + lexeme.length, text.length);
    if (parser.stack.length > 2 * DEEPEST) return offset;
  }
  return null;
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
