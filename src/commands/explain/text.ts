import type { Explanation } from '../../explain/explain.js';
import type { Titles } from '../../explain/words.js';
import { inWords, type InWords } from '../../explain/in-words.js';
import { filled } from '../help.js';

const WIDTH = 100;

/** The explanation in words, in the order of the way: pads, notes and why, and what was checked. */
export function explainText(explained: Explanation, titles: Titles): string[] {
  const { title, answer, happenings, sounding, ...told } = inWords(explained, titles);
  return [
    ...[title, '', ...answer, ''],
    ...padLines(told),
    ...happenings.flatMap(({ head, sentences }) => ['', `${head}:`, ...sentences.map(indented)]),
    ...(sounding === '' ? [] : ['', `sounding all the time: ${sounding}`]),
    ...checkedLines(told),
  ].flatMap(folded);
}

const indented = (line: string): string => `  ${line}`;

function padLines({ pads, limits }: Pick<InWords, 'pads' | 'limits'>): string[] {
  if (pads.length === 0) return ['pads: none moved'];
  const width = Math.max(...pads.map(({ name }) => name.length));
  return [
    limits === '' ? 'pads:' : `pads (${limits}):`,
    ...pads.flatMap(({ name, sentences: [first = '', ...more] }) => [
      `  ${name.padEnd(width)}  ${first}`.trimEnd(),
      ...more.map((line) => `${' '.repeat(width + 4)}${line}`),
    ]),
  ];
}

function checkedLines({ checked }: Pick<InWords, 'checked'>): string[] {
  if (checked.length === 0) return [];
  const width = Math.max(...checked.map(({ rule }) => rule.length));
  return [
    '',
    'checked, by running the take again with one rule changed:',
    ...checked.map(({ rule, words }) => `  ${rule.padEnd(width)}  ${words}`),
  ];
}

/** A long line goes on below its own beginning. */
function folded(line: string): string[] {
  if (line.length <= WIDTH) return [line];
  const [, lead = ''] = /^(\s*(?:\S.*?\s{2,})?)/.exec(line) ?? [];
  const [first = '', ...rest] = filled(line.slice(lead.length), WIDTH - lead.length);
  return [lead + first, ...rest.map((part) => ' '.repeat(lead.length) + part)];
}
