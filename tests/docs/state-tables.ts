import { readdirSync, readFileSync } from 'node:fs';
import { sep } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));

/** What one state does on one signal. */
export interface Row {
  /** The state it goes to, or a word of the table's own that stands for one of several. */
  readonly to: string;
  readonly act: string;
}

/** A total table of the code with what its comments say of it. */
export interface StateTable {
  /** Its file, from the top of the project. */
  readonly file: string;
  /** What it is of, such as `The life of one key`. */
  readonly title: string;
  /** What more its first comment says, after the title. */
  readonly more: string;
  readonly rows: Readonly<Record<string, Readonly<Record<string, Row>>>>;
  /** What each state means, where the comment lists them. */
  readonly states: ReadonlyMap<string, string>;
  readonly signals: string;
  readonly actions: string;
  /** What a word that stands for one of several states means, as a sentence that names them. */
  readonly targets: string;
}

/** Every total table in the code: whatever `table.ts` or `…-table.ts` exports that is shaped like one. */
export async function stateTables(): Promise<StateTable[]> {
  const files = readdirSync(`${ROOT}src`, { recursive: true, encoding: 'utf8' })
    .filter((file) => /(^|[-\\/])table\.ts$/.test(file))
    .map((file) => `src/${file.split(sep).join('/')}`)
    .sort();
  const found: StateTable[] = [];
  for (const file of files) {
    const path = `${ROOT}${file}`;
    const module = (await import(pathToFileURL(path).href)) as Record<string, unknown>;
    for (const value of Object.values(module)) {
      if (!isTable(value)) continue;
      found.push(described(file, readFileSync(path, 'utf8'), value));
    }
  }
  return found;
}

export function isTable(value: unknown): value is StateTable['rows'] {
  const isObject = (one: unknown): one is Record<string, unknown> =>
    typeof one === 'object' && one !== null && Object.keys(one).length > 0;
  const isRow = (one: unknown): boolean =>
    isObject(one) && typeof one.to === 'string' && typeof one.act === 'string';
  return (
    isObject(value) &&
    Object.values(value).every((row) => isObject(row) && Object.values(row).every(isRow))
  );
}

/** Reads the comments above the types of a table's file. */
export function described(file: string, source: string, rows: StateTable['rows']): StateTable {
  const first = commentOf(source, 'State');
  if (first === null)
    throw new Error(`${file}: no comment above its …State type says what it is of`);
  const [head = '', ...lines] = first.split('\n\n');
  const [, title, more] =
    /^(.*?), as a total table: every state meets every signal\.\s*(.*)$/s.exec(oneLine(head)) ?? [
      null,
      oneLine(head).replace(/\.$/, ''),
      '',
    ];
  const list = [...lines.join('\n').matchAll(/^(\w[\w-]*): +(.*(?:\n +.*)*)/gm)];
  return {
    file,
    title,
    more,
    rows,
    states: new Map(list.map(([, state, meaning]) => [state!, oneLine(meaning!)])),
    signals: oneLine(commentOf(source, 'Signal') ?? ''),
    actions: oneLine(commentOf(source, 'Action') ?? ''),
    targets: oneLine(commentOf(source, 'Row') ?? ''),
  };
}

/** The comment right above the exported type whose name ends so. */
function commentOf(source: string, ending: string): string | null {
  const comments = source.matchAll(
    /\/\*\*((?:(?!\*\/)[^])*)\*\/\s*export (?:type|interface) (\w+)/g,
  );
  for (const [, text, name] of comments) {
    if (name!.endsWith(ending)) return text!.replace(/^\s*\* ?/gm, '').trim();
  }
  return null;
}

const oneLine = (text: string): string => text.replace(/\s+/g, ' ').trim();
