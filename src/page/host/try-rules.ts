import { DOCUMENT_LIMITS, openDocument } from '../../instrument/document.js';
import { FileFault, problemWhat } from '../../instrument/fault.js';
import { nearest } from '../../instrument/near.js';
import { describeRules, parseRules, PLAIN } from '../../instrument/rules.js';
import type { Rules } from '../../instrument/types.js';
import { rulesAsWritten } from '../../takes/rules-written.js';

/** Values as a rules file writes them, by key: `{ "touch.lift": "30ms" }`. */
export type RuleValues = Readonly<Record<string, string>>;

/** All rules together have about a thousand characters; more would cost the playing thread time. */
const MOST_CHARACTERS = 8_000;
const LIMITS = { ...DOCUMENT_LIMITS, signs: 500, references: 0 };

type Groups = Record<string, Record<string, unknown>>;

/** Every key's value as a rules file writes it. */
export function ruleValues(rules: Rules): RuleValues {
  return Object.fromEntries(describeRules(rules).map(({ key, value }) => [key, value]));
}

/** The keys in which two rule sets differ. */
export function differentKeys(a: Rules, b: Rules): string[] {
  const [of, other] = [ruleValues(a), ruleValues(b)];
  return Object.keys(of).filter((key) => of[key] !== other[key]);
}

/**
 * The rules with some of their values changed.
 *
 * @returns words for what is wrong with a value, and what to do, where there is something
 */
export function withValues(rules: Rules, values: RuleValues): Rules | string {
  const { logic, name } = rules;
  const whole = rulesAsWritten({ ...rules, logic: null }) as Groups;
  // Only what differs from what is usual: reading it is on the playing thread's time.
  const written: Groups = {};
  const put = (key: string, value: unknown): void => {
    const [group = '', own = ''] = key.split('.');
    (written[group] ??= {})[own] = value;
  };
  for (const key of differentKeys(rules, PLAIN)) {
    const [group = '', own = ''] = key.split('.');
    if (key !== 'logic') put(key, whole[group]?.[own]);
  }
  const keys = new Set(Object.keys(ruleValues(rules)));
  const characters = Object.values(values).reduce((sum, text) => sum + text.length, 0);
  if (characters > MOST_CHARACTERS) {
    return `These values have more than ${String(MOST_CHARACTERS)} characters together. Make them shorter`;
  }
  for (const [key, text] of Object.entries(values)) {
    if (key === 'logic') {
      return 'logic: what runs on this computer is not changed from a page. Name the module in the rules file';
    }
    if (!keys.has(key)) {
      const near = nearest(key, [...keys]);
      return `${key}: there is no such key. ${near === undefined ? 'Load the page again' : `Did you mean ${near}?`}`;
    }
    try {
      put(key, openDocument(text, key, LIMITS).value);
    } catch (error) {
      return faultWords(error, key);
    }
  }
  try {
    // A module, and the name, stay as they are: a page changes neither.
    return { ...parseRules(JSON.stringify(written), name), name, logic };
  } catch (error) {
    return faultWords(error);
  }
}

/**
 * What is wrong, without the lines of a file that nobody has written.
 *
 * @throws the error, where it is none of a file
 */
export function faultWords(error: unknown, key = ''): string {
  if (!(error instanceof FileFault)) throw error;
  return error.problems
    .map((problem) => `${problemWhat({ ...problem, key: problem.key || key })}. ${problem.fix}`)
    .join('\n');
}
