import type { ParseArgsConfig } from 'node:util';
import type { Tell } from '../ports/contracts.js';

/** What a command is given: its options and plain words, and how it speaks. */
export interface Call {
  readonly values: Readonly<Record<string, string | boolean | undefined>>;
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

/** One command of the program. */
export interface Command {
  readonly name: string;
  /** One line for the list of commands. */
  readonly summary: string;
  /** The help page's text under its first line. */
  readonly help: string;
  readonly options: NonNullable<ParseArgsConfig['options']>;
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
