import { isMap, parseDocument } from 'yaml';
import { openDocument } from '../../instrument/document.js';
import { describeRules, PLAIN } from '../../instrument/rules.js';
import type { Rules } from '../../instrument/types.js';
import { differentKeys, ruleValues } from './try-rules.js';

/** What a rules file is kept with. */
export interface KeptRules {
  readonly rules: Rules;
  /** The path of its module as this file must name it; null: it has none. */
  readonly logic: string | null;
  /** In a few words, where it was tried. */
  readonly from: string;
}

/** A new rules file: only what differs from the usual rules, each with its sentence. */
export function newRulesText({ rules, logic, from }: KeptRules): string {
  const keys = new Set(differentKeys(rules, PLAIN));
  const lines = [
    `# Kept from the page, as it was tried at ${oneLine(from)}. What is not here is as in "plain".`,
  ];
  if (logic !== null) lines.push('', `logic: ${JSON.stringify(logic)}`);
  let group = '';
  for (const { key, value, about } of describeRules(rules)) {
    const [of = '', own] = key.split('.');
    if (own === undefined || !keys.has(key)) continue;
    if (of !== group) lines.push('', `${of}:`);
    group = of;
    lines.push(`  # ${about}`, `  ${own}: ${value}`);
  }
  // Comments alone would be taken for a save that went wrong.
  if (group === '' && logic === null) lines.push('', '{}');
  return `${lines.join('\n')}\n`;
}

/**
 * A rules file with other values; its comments and all else in it stay.
 *
 * @param was what it holds
 */
export function changedRulesText(text: string, was: Rules, now: Rules): string {
  const document = parseDocument(text, { schema: 'core' });
  if (!isMap(document.contents)) document.contents = document.createNode({}) as never;
  const values = ruleValues(now);
  for (const key of differentKeys(was, now)) {
    // A module is chosen in the file itself.
    if (key !== 'logic') document.setIn(key.split('.'), openDocument(values[key]!, key).value);
  }
  return document.toString({ lineWidth: 0 });
}

function oneLine(text: string): string {
  return text.replace(/\s+/g, ' ');
}
