import type { Tell } from '../ports/contracts.js';
import { parseDuration, type Micros } from '../time/micros.js';

/** What was given for each option: a list where an option may be given several times. */
export type Values = Readonly<Record<string, string | boolean | readonly string[] | undefined>>;

/** What a command is given: its options and plain words, and how it speaks. */
export interface Call {
  readonly values: Values;
  readonly words: readonly string[];
  /** What was asked for, such as notes: standard output. */
  readonly say: (line: string) => void;
  /** What a person should know: standard error, plain or as JSON lines. */
  readonly tell: Tell;
  /** True where a person watches standard error, so that progress may be shown there. */
  readonly watched: boolean;
}

/** How a command ended, as the shell sees it. */
export const EXIT = { done: 0, failed: 1, usage: 2 } as const;
export type Exit = (typeof EXIT)[keyof typeof EXIT];

/** One option of a command: a switch, or one that takes a text (`takes` says what it is). */
export interface Option {
  readonly takes?: string;
  readonly short?: string;
  /** True where it may be given several times, each with a text of its own. */
  readonly many?: boolean;
  /** What it does; what it is when left out stands in brackets at the end. */
  readonly about: string;
}

export type Options = Readonly<Record<string, Option>>;

/** One command of the program. */
export interface Command {
  readonly name: string;
  /** One line for the list of commands. */
  readonly summary: string;
  /** The ways to call it, without the program's name. */
  readonly usage: readonly string[];
  /** What it does, for its help page; filled to the page's width there. */
  readonly about: string;
  readonly options: Options;
  /** How many plain words it takes at most. */
  readonly words: number;
  run(call: Call): Promise<Exit>;
}

/** The command was called in a way that it does not know. */
export class UsageFault extends Error {
  override readonly name = 'UsageFault';
}

/** Something that stops a command, with words for it; the message is all that is shown. */
export class Failure extends Error {
  override readonly name = 'Failure';
}

/** An option's text; undefined where it was not given. */
export function textOf(call: Call, option: string): string | undefined {
  const value = call.values[option];
  return typeof value === 'string' ? value : undefined;
}

/**
 * An option's time; undefined where it was not given.
 *
 * @throws UsageFault where it is no time
 */
export function timeOf(call: Call, option: string): Micros | undefined {
  const text = textOf(call, option);
  if (text === undefined) return undefined;
  const time = parseDuration(text);
  if (time !== undefined) return time;
  throw new UsageFault(`--${option} takes a time with its unit, such as 12.5s, not "${text}"`);
}

/** The texts of an option that may be given several times, in their order. */
export function textsOf(call: Call, option: string): readonly string[] {
  const value = call.values[option];
  return Array.isArray(value) ? (value as readonly string[]) : [];
}

/** Where a person keeps their files. */
export const FOLDER: Options = {
  folder: { takes: 'DIR', about: 'where files named without a path are looked for [this folder]' },
};

export function folderOf(call: Call): string {
  return textOf(call, 'folder') ?? process.cwd();
}
