import * as z from 'zod';
import { openDocument, type Path } from './document.js';
import { explain, type Complaint } from './explain.js';
import { FileFault, type Problem } from './fault.js';
import type { Shape } from './shape.js';

/** How one kind of file is read: its schema, and what no schema can say. */
export interface Form<Value> {
  readonly schema: z.ZodType<Value>;
  /** Which of the schema's choices the data is of, so that only its own faults are told. */
  readonly choose?: (data: unknown) => z.ZodType<Value>;
  /** Asked before the schema is: what is wrong that would only make the schema's answers confusing. */
  readonly before?: (data: unknown) => Complaint[];
  /** Asked after the schema: checks between keys. */
  readonly check?: (value: Value) => Complaint[];
}

/** A file that was read, and the means to complain about parts of it later. */
export interface Reading<Value> {
  readonly value: Value;
  problems(complaints: readonly Complaint[]): Problem[];
}

/**
 * Reads one file that people write, checks all of it, and fills in what was left out.
 *
 * @param file its name for messages
 * @throws FileFault with every problem found, in the order of the text
 */
export function read<Value>(text: string, file: string, form: Form<Value>): Reading<Value> {
  const opened = openDocument(text, file);
  const data = opened.value;
  if (data === null || data === undefined) throw new FileFault([nothing(text, file)]);
  const problems = (complaints: readonly Complaint[]): Problem[] =>
    complaints
      .map(({ path, part, found, allowed, fix }) => ({
        file,
        at: opened.at(path, part),
        key: keyPath(path),
        found,
        allowed,
        fix,
      }))
      .sort((a, b) => a.at.line - b.at.line || a.at.column - b.at.column);
  const refuse = (complaints: readonly Complaint[]): void => {
    if (complaints.length > 0) throw new FileFault(firstOf(problems(complaints)));
  };

  refuse(form.before?.(data) ?? []);
  const schema = form.choose?.(data) ?? form.schema;
  const parsed = schema.safeParse(data);
  if (!parsed.success) {
    const shape = jsonSchema(schema) as Shape;
    const issues = parsed.error.issues.slice(0, MOST_ISSUES);
    throw new FileFault(firstOf(problems(explain(issues, data, shape))));
  }
  refuse(form.check?.(parsed.data) ?? []);
  return { value: parsed.data, problems };
}

/** A file of another kind is wrong in each of its lines; so many of them are looked at, and told. */
const MOST_ISSUES = 200;
const MOST_TOLD = 20;

function firstOf(problems: readonly Problem[]): readonly Problem[] {
  const next = problems[MOST_TOLD];
  if (!next) return problems;
  const rest: Problem = {
    ...next,
    key: '',
    found: 'more mistakes from here on',
    allowed: 'a file without mistakes',
    fix: 'Fix those above first, and check that this is the file you meant',
  };
  return [...problems.slice(0, MOST_TOLD), rest];
}

/** Most often a save that went wrong: it must not count as a file in which all is as usual. */
function nothing(text: string, file: string): Problem {
  const found = /\S/.test(text) ? 'nothing but comments' : 'an empty file';
  const fix =
    'If a save went wrong, undo it in your editor and save again, or take a copy of the file; if nothing is to be in it, write {}';
  return { file, at: { line: 1, column: 1 }, key: '', found, allowed: 'at least one key', fix };
}

/** What a file may hold, as a JSON Schema (draft 2020-12) of the file before it is read. */
export function jsonSchema(schema: z.ZodType): object {
  return z.toJSONSchema(schema, {
    io: 'input',
    // zod drops examples where something in them is transformed, as if they were of what comes out.
    override: ({ zodSchema, jsonSchema: made }) => {
      const { examples } = z.globalRegistry.get(zodSchema) ?? {};
      if (examples) made.examples ??= examples as never;
    },
  });
}

/** @example keyPath(['strings', 0, 'open']) // 'strings[0].open' */
export function keyPath(path: Path): string {
  return path.map(stepText).join('').replace(/^\./, '');
}

function stepText(step: string | number): string {
  if (typeof step === 'number') return `[${String(step)}]`;
  return /^[\w-]+$/.test(step) ? `.${step}` : `[${JSON.stringify(step.slice(0, 40))}]`;
}
