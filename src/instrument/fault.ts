/** Counted from 1, as editors count. */
export interface Position {
  readonly line: number;
  readonly column: number;
}

/** One thing wrong in a file, in parts, so that a page can show it as well as a terminal. */
export interface Problem {
  readonly file: string;
  /** null where the file itself is missing or could not be read. */
  readonly at: Position | null;
  /** The path to the key, such as `strings[0].open`; empty for the file as a whole. */
  readonly key: string;
  readonly found: string;
  readonly allowed: string;
  /** What to do next, one sentence. */
  readonly fix: string;
}

/** Where a problem is, as terminals and editors make a link of it: `file:line:column`. */
export function problemWhere({ file, at }: Problem): string {
  return at === null ? file : `${file}:${String(at.line)}:${String(at.column)}`;
}

/** What the problem is, one sentence without a full stop. */
export function problemWhat({ key, found, allowed }: Problem): string {
  return `${key === '' ? '' : `${key}: `}found ${found}, allowed: ${allowed}`;
}

/**
 * Whatever is wrong with files that people write, every problem of them at once: the only error that
 * parsing and loading throw.
 *
 * The message has two lines a problem: where and what, then the fix.
 */
export class FileFault extends Error {
  override readonly name = 'FileFault';
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super(problems.map((p) => `${problemWhere(p)}: ${problemWhat(p)}\n    ${p.fix}`).join('\n'));
    this.problems = problems;
  }
}
