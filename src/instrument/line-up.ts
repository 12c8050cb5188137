import type { Problem } from './fault.js';

/** A key, or a list's entry, that begins a line. */
interface Begin {
  /** Counted from 0. */
  readonly line: number;
  readonly column: number;
  readonly what: 'key' | 'dash';
  /** As it is written, for messages: `"from:"`. */
  readonly words: string;
  /** Whether something stands behind it on its line. */
  readonly filled: boolean;
}

/** Lines of one level, all of which begin in the same column. */
interface Level {
  readonly first: Begin;
  last: Begin;
  count: number;
}

type Said = Pick<Problem, 'at' | 'found' | 'allowed' | 'fix'>;

/**
 * The first line of a YAML text that is not lined up with the others of its level, and which line it must
 * start under; or, where a bracket is open at `offset`, which one. Null: neither.
 *
 * The YAML reader itself only knows that it cannot go on, often a line later.
 *
 * @param offset where the reader could not go on
 */
export function lineUp(text: string, offset: number): Said | null {
  const { begins, open, outside } = scan(text, offset);
  if (open) {
    const line = text.split('\n')[open.line]!;
    const isAlone = line.slice(open.column + 1).trim() === '';
    const where = isAlone ? '' : `at the end of line ${String(open.line + 1)} or `;
    return {
      at: { line: open.line + 1, column: open.column + 1 },
      found: `a "${open.sign}" that is never closed`,
      allowed: 'a closing bracket for each opening one',
      fix: `Put the missing "${CLOSING[open.sign]}" in, ${where}where it belongs`,
    };
  }
  if (outside) {
    return {
      at: { line: outside.line + 1, column: outside.column + 1 },
      found: `a line within the brackets of line ${String(outside.bracket.line + 1)} that starts as far left as that line`,
      allowed: 'lines within brackets further in',
      fix: `Put two more spaces in front of line ${String(outside.line + 1)}`,
    };
  }
  const levels: Level[] = [];
  for (const [i, one] of begins.entries()) {
    const wrong = put(levels, one);
    if (wrong) return said(one, wrong, begins.slice(i + 1));
  }
  return null;
}

/**
 * Puts a line into its level.
 *
 * @returns where it starts under none, the levels that it may belong to, the nearest first; else null
 */
function put(levels: Level[], one: Begin): readonly Level[] | null {
  const before = [...levels];
  const near = (level: Level): number => Math.abs(level.first.column - one.column);
  const refused = (): readonly Level[] =>
    before
      .filter(({ first }) => first.what === one.what)
      // Of two as near, the one further in: a line is more easily moved out of a level than into one.
      .sort((a, b) => near(a) - near(b) || b.first.column - a.first.column);
  while ((levels.at(-1)?.first.column ?? -1) > one.column) levels.pop();
  const level = levels.at(-1);
  const isFurtherOut = levels.length < before.length;
  if (!level) {
    levels.push({ first: one, last: one, count: 1 });
    return isFurtherOut ? refused() : null;
  }
  const { first, last } = level;
  if (first.column < one.column) {
    const isBehindDash = last.what === 'dash' && last.line === one.line;
    if (!isBehindDash && (isFurtherOut || last.filled)) return refused();
    levels.push({ first: one, last: one, count: 1 });
    return null;
  }
  if (first.what === one.what) {
    level.last = one;
    level.count += 1;
    return null;
  }
  if (one.what === 'dash') {
    if (last.filled) return refused();
    levels.push({ first: one, last: one, count: 1 });
    return null;
  }
  // A list may stand under its own key, which the next key then follows.
  const owner = levels.at(-2);
  if (owner?.first.column !== one.column) return refused();
  levels.pop();
  owner.last = one;
  owner.count += 1;
  return null;
}

/** Which of two lines is to be moved: the one that more lines agree with stays. */
function said(one: Begin, levels: readonly Level[], after: readonly Begin[]): Said | null {
  const [level, other] = levels;
  if (!level) return null;
  const { first, count } = level;
  const others = after.findIndex(({ column }) => column !== one.column);
  const agree = 1 + (others < 0 ? after.length : others);
  const isTop = one.column === 0 && first.column > 0;
  const [moved, stays] = isTop || (count === 1 && agree > 1) ? [first, one] : [one, level.last];
  const by = stays.column - moved.column;
  const spaces = `${String(Math.abs(by))} ${Math.abs(by) === 1 ? 'space' : 'spaces'}`;
  const isTie =
    moved === one && other && Math.abs(other.first.column - one.column) === Math.abs(by);
  const beside = moved.line < stays.line ? 'above' : 'under';
  const or = isTie
    ? `; or under ${other.last.words} of line ${String(other.last.line + 1)}, if it belongs there`
    : '';
  return {
    at: { line: moved.line + 1, column: moved.column + 1 },
    found: `${moved.words}, which starts in column ${String(moved.column + 1)}, and ${stays.words} of line ${String(stays.line + 1)}, which starts in column ${String(stays.column + 1)}`,
    allowed: 'the lines of one level in the same column',
    fix: `Move line ${String(moved.line + 1)} by ${spaces} to the ${by > 0 ? 'right' : 'left'}, so that ${moved.words} starts exactly ${beside} ${stays.words}${or}`,
  };
}

interface Bracket {
  readonly sign: '[' | '{';
  readonly line: number;
  readonly column: number;
  /** Where its line begins. */
  readonly indent: number;
}

const CLOSING = { '[': ']', '{': '}' } as const;

interface Scanned {
  /** The keys and entries that begin lines, but for those within brackets. */
  readonly begins: readonly Begin[];
  /** The first bracket that is never closed. */
  readonly open: Bracket | null;
  /** The first line near `offset` that is within brackets and not further in than they are. */
  readonly outside: { line: number; column: number; bracket: Bracket } | null;
}

function scan(text: string, offset: number): Scanned {
  const begins: Begin[] = [];
  const open: Bracket[] = [];
  let outside: Scanned['outside'] = null;
  let start = 0;
  /** Inside a text that was begun with | or >: all lines further in than this. */
  let block: number | null = null;
  for (const [line, raw] of text.split('\n').entries()) {
    const content = raw.replace(/\r$/, '');
    const indent = content.search(/[^ ]/);
    start += raw.length + 1;
    if (indent < 0 || content[indent] === '#') continue;
    if (block !== null && indent > block) continue;
    block = null;
    const [outer] = open;
    if (!outer) {
      const own = beginsOf(content, line, indent);
      begins.push(...own);
      if (/(^|[\s:-])[|>][+-]?\d?[+-]?\s*(#.*)?$/.test(content))
        block = own.at(-1)?.column ?? indent;
    } else if (indent <= outer.indent && start > offset) {
      outside ??= { line, column: indent, bracket: outer };
    }
    const wrong = brackets(content, { line, indent }, open);
    if (wrong) return { begins, open: wrong, outside: null };
  }
  return { begins, open: open[0] ?? null, outside };
}

const KEY = /^("[^"]*"|'[^']*'|[^\s#&*!|>'"%@`[\]{},-][^#[\]{},]*?)\s*:(?=\s|$)/;

function beginsOf(content: string, line: number, indent: number): Begin[] {
  const begins: Begin[] = [];
  let column = indent;
  let rest = content.slice(indent);
  for (let dash = /^-(\s+|$)/.exec(rest); dash; dash = /^-(\s+|$)/.exec(rest)) {
    const behind = rest.slice(dash[0].length);
    const filled = !/^(#|$)/.test(behind);
    const words = `"- ${behind.replace(/\s*(#.*)?$/, '').slice(0, 30)}"`;
    begins.push({ line, column, what: 'dash', words: filled ? words : '"-"', filled });
    column += dash[0].length;
    rest = behind;
  }
  const key = KEY.exec(rest);
  if (key) {
    const behind = rest.slice(key[0].length).trim();
    const filled = behind !== '' && !behind.startsWith('#');
    begins.push({ line, column, what: 'key', words: `"${key[1]!.slice(0, 30)}:"`, filled });
  }
  return begins;
}

/**
 * Follows the brackets of a line, but for those in quotation marks and comments.
 *
 * @returns the bracket that another kind of bracket closes
 */
function brackets(
  content: string,
  { line, indent }: { line: number; indent: number },
  open: Bracket[],
): Bracket | null {
  let quote = '';
  for (let column = 0; column < content.length; column++) {
    const sign = content[column]!;
    const before = column === 0 ? ' ' : content[column - 1]!;
    if (quote !== '') {
      if (sign === '\\' && quote === '"') column += 1;
      else if (sign === quote) quote = '';
    } else if (sign === '#' && /\s/.test(before)) {
      return null;
    } else if ((sign === '"' || sign === "'") && /[\s[{,:-]/.test(before)) {
      quote = sign;
    } else if (sign === '[' || sign === '{') {
      if (open.length > 0 || /[\s[{,:-]/.test(before)) open.push({ sign, line, column, indent });
    } else if (sign === ']' || sign === '}') {
      const last = open.pop();
      if (last && CLOSING[last.sign] !== sign) return last;
    }
  }
  return null;
}
