import type { RuleValues } from './rule-table.js';

/** A module of somebody's own. */
export interface OwnCode {
  /** Its file, for messages; in rules that were only parsed, its path as the rules file has it. */
  readonly file: string;
  /** All of it, as one piece of JavaScript; null in rules that were only parsed. */
  readonly code: string | null;
}

/** The playing logic's settings. Keys are those of the rules file; times are in microseconds. */
export interface Rules extends RuleValues {
  readonly name: string;
  /** What plays instead of the built-in logic; null: the built-in logic. */
  readonly logic: OwnCode | null;
}
