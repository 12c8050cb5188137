import { stringify } from 'yaml';
import { parseRules, PLAIN } from '../../instrument/rules.js';
import type { Rules } from '../../instrument/types.js';
import type { Fitted } from '../../fit/cross.js';
import { totalOf } from '../../fit/marks.js';
import { same } from '../../fit/keys.js';
import { rulesAsWritten } from '../../takes/rules-written.js';
import { counted, type Gathered } from './takes.js';
import { share, whyOf, writtenValues } from './words.js';
import { filled } from '../help.js';

const WIDTH = 100;

type Groups = Readonly<Record<string, Readonly<Record<string, unknown>>>>;

/**
 * The rules file that a fit results in: the keys that differ from plain, each with why it is so.
 *
 * @param name what the rule set is called
 * @throws Error where it would not be read again as the same rules
 */
export function rulesFile(name: string, gathered: Gathered, fitted: Fitted): string {
  const { rules } = fitted;
  const lines = [...headLines(gathered, fitted), stringify({ name }).trimEnd()];
  const whys = new Map(fitted.changes.map((change) => [change.key, whyOf(change, gathered)]));
  const were = writtenValues(gathered.start);
  const ours = rulesAsWritten(rules) as Groups;
  const plain = rulesAsWritten(PLAIN) as Groups;
  for (const [group, keys] of Object.entries(ours)) {
    if (typeof keys !== 'object') continue;
    const own = Object.entries(keys).filter(([key, value]) => !same(value, plain[group]?.[key]));
    if (own.length === 0) continue;
    lines.push('', `${group}:`);
    for (const [key, value] of own) {
      const path = `${group}.${key}`;
      const why = whys.get(path);
      const words = why
        ? `Was ${were.get(path) ?? ''}: ${why}`
        : `As in ${gathered.start.name}: no other value did better, or none was tried.`;
      lines.push(...comment(words, '  '), `  ${key}: ${scalar(value)}`);
    }
  }
  const text = `${lines.join('\n')}\n`;
  const again: Rules = parseRules(text, `${name}.yaml`);
  if (!same({ ...again, name }, { ...rules, name })) {
    throw new Error('the rules that were found cannot be written as a rules file');
  }
  return text;
}

/** What was fitted to what, and which keys are as in plain again. */
function headLines(gathered: Gathered, { changes, heldOut, rules }: Fitted): string[] {
  const { start, takes } = gathered;
  const before = share(totalOf(heldOut.map((one) => one.start)).f);
  const after = share(totalOf(heldOut.map((one) => one.fitted)).f);
  const on = takes.length === 1 ? 'parts of the take' : 'takes';
  const first =
    changes.length === 0
      ? `As ${start.name}: nothing did better on ${counted(takes.length, 'take')}, F ${before}.`
      : `Fitted to ${counted(takes.length, 'take')} from ${start.name}: F ${before} before, ${after} ` +
        `on ${on} that were left out.`;
  const were = writtenValues(start);
  const are = writtenValues(rules);
  const plain = writtenValues(PLAIN);
  const back = changes.filter(({ key }) => are.get(key) === plain.get(key));
  return [
    ...comment(first, ''),
    '# Every key that is not here is as in plain.yaml.',
    ...(back.length > 0 ? ['# As in plain.yaml again:'] : []),
    ...back.flatMap((change) => {
      const { key } = change;
      const words = `${key}, ${were.get(key) ?? ''} → ${are.get(key) ?? ''}: ${whyOf(change, gathered)}`;
      return comment(words, '', '  ');
    }),
  ];
}

function comment(words: string, indent: string, more = ''): string[] {
  return filled(words, WIDTH - indent.length - more.length - 2).map(
    (line, i) => `${indent}# ${more}${i > 0 ? more : ''}${line}`,
  );
}

/** A value on one line. */
function scalar(value: unknown): string {
  return Array.isArray(value)
    ? JSON.stringify(value).replace(/,/g, ', ')
    : stringify(value).trimEnd();
}
