import { readFileSync } from 'node:fs';
import { format, resolveConfig } from 'prettier';
import { LOGIC, RULE_GROUPS, type Rule } from '../../src/instrument/rule-table.js';

/** Files that say what the rules are, made of their table; `npm run docs` writes them again. */
export const RULE_FILES: Readonly<Record<string, () => Promise<string>>> = {
  'config/rules/plain.yaml': () => Promise.resolve(plainYaml()),
  'config/logic/contract.ts': contract,
};

const read = (path: string): string =>
  readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8');

/** Comments are as wide as the rest of the file may be. */
const WIDTH = 107;

function comment(text: string, indent: string): string[] {
  const lines: string[] = [];
  let line = `${indent}#`;
  for (const word of text.split(' ')) {
    if (line.length + 1 + word.length > WIDTH) {
      lines.push(line);
      line = `${indent}#`;
    }
    line += ` ${word}`;
  }
  return [...lines, line];
}

function plainYaml(): string {
  const groups = RULE_GROUPS.flatMap(([name, { rules }]) => [
    '',
    `${name}:`,
    ...Object.entries(rules).flatMap(([rule, { advice, plain }]) => [
      ...comment(advice, '  '),
      `  ${rule}: ${String(plain)}`,
    ]),
  ]);
  return [
    '# The rules that every key falls back on: one note a pluck, which a lifted fret or a new pluck ends.',
    '# Copy it under another name, keep only the keys that you change, and name the copy in the room.',
    '# yaml-language-server: $schema=../schemas/rules.schema.json',
    'name: plain',
    '',
    ...comment(LOGIC.advice, ''),
    'logic: null',
    ...groups,
    '',
  ].join('\n');
}

function typeOf(rule: Rule): string {
  switch (rule.is) {
    case 'flag':
      return 'boolean';
    case 'number':
    case 'whole':
      return 'number';
    case 'choice':
      return rule.of.map((word) => `'${word}'`).join(' | ');
    case 'time':
      return rule.never ? 'number | null' : 'number';
    case 'curve':
      return "number | 'square' | readonly (readonly [number, number])[]";
  }
}

/** What a module of one's own and the program say to each other, as a file that stands alone. */
async function contract(): Promise<string> {
  const groups = RULE_GROUPS.map(([name, { rules }]) => {
    const keys = Object.entries(rules).map(([rule, one]) => `readonly '${rule}': ${typeOf(one)};`);
    return `readonly ${name}: { ${keys.join(' ')} };`;
  });
  const rules = `export interface Rules {\n  readonly name: string;\n  ${groups.join('\n  ')}\n}\n`;
  const text = read('src/playing/own-logic-contract.ts')
    .replace(/^import .*\n\n/m, '')
    .replace(/^export type Rules = .*\n/m, rules);
  const path = new URL('../../config/logic/contract.ts', import.meta.url).pathname;
  return format(text, { ...(await resolveConfig(path)), filepath: path });
}
