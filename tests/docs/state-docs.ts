import { format } from 'prettier';
import { filled } from '../../src/commands/help.js';
import type { Row, StateTable } from './state-tables.js';

export const BEGIN = '<!-- states:begin -->';
export const END = '<!-- states:end -->';
const WIDTH = 100;

/**
 * The section of docs/states.md on the state machines, markers included.
 *
 * @throws where a table is not total, or goes to what is no state and is not explained
 */
export async function statesSection(tables: readonly StateTable[]): Promise<string> {
  const text = [
    BEGIN,
    '',
    '<!-- Made from the tables in the code by `npm run docs`; a test fails where they differ. -->',
    '',
    paragraph(
      'A row is a signal, a column the state that it comes in. "act → state" is what is done and ' +
        'where it goes; "·" is nothing. The diagrams leave out what changes and does nothing.',
    ),
    ...tables.flatMap((table) => ['', tableSection(table)]),
    '',
    END,
  ].join('\n');
  return (await format(text, { parser: 'markdown', printWidth: WIDTH })).trimEnd();
}

/** The text with its states section made again. */
export function withSection(text: string, section: string): string {
  const [from, to] = [text.indexOf(BEGIN), text.indexOf(END)];
  if (from < 0 || to < from) throw new Error(`the text has no ${BEGIN} with ${END} after it`);
  return text.slice(0, from) + section + text.slice(to + END.length);
}

function tableSection(table: StateTable): string {
  const { file, title, more, states, signals, actions, targets } = table;
  const told = (label: string, text: string): string[] =>
    text === '' ? [] : ['', paragraph(`${label}: ${text}`)];
  return [
    `## ${title} (\`${file}\`)`,
    ...(more === '' ? [] : ['', paragraph(more)]),
    ...(states.size === 0 ? [] : ['']),
    ...[...states].map(([state, meaning]) => `- **${state}**: ${meaning}`),
    ...told('Signals', signals),
    ...told('Actions', actions),
    ...told('Where it goes', targets),
    '',
    markdownTable(table),
    '',
    '```mermaid',
    diagram(table),
    '```',
  ].join('\n');
}

const paragraph = (text: string): string => filled(text, WIDTH).join('\n');

/** The signals of a table, which every state must meet. */
export function signalsOf({ file, rows }: Pick<StateTable, 'file' | 'rows'>): string[] {
  const [first, ...others] = Object.entries(rows);
  const signals = Object.keys(first?.[1] ?? {});
  for (const [state, row] of others) {
    const own = Object.keys(row);
    const odd = [...own, ...signals].find((one) => !own.includes(one) || !signals.includes(one));
    if (odd !== undefined) throw new Error(`${file}: not total, ${state} and signal ${odd}`);
  }
  return signals;
}

function markdownTable(table: StateTable): string {
  const states = Object.keys(table.rows);
  const line = (cells: readonly string[]): string => `| ${cells.join(' | ')} |`;
  return [
    line(['', ...states]),
    line(['---', ...states.map(() => '---')]),
    ...signalsOf(table).map((signal) =>
      line([`**${signal}**`, ...states.map((state) => cell(state, table.rows[state]![signal]!))]),
    ),
  ].join('\n');
}

function cell(state: string, { to, act }: Row): string {
  if (to === state) return act === 'none' ? '·' : act;
  return act === 'none' ? `→ ${to}` : `${act} → ${to}`;
}

/** A Mermaid state diagram: on each arrow the signals that go this way, and what is done. */
export function diagram(table: StateTable): string {
  const states = Object.keys(table.rows);
  const arrows = states.flatMap((from) => arrowsFrom(from, table));
  const words = [...new Set(arrows.map(({ to }) => to))].filter((to) => !states.includes(to));
  const choices = words.flatMap((word) => {
    const ends = choicesOf(word, states, table);
    return [`  state ${word} <<choice>>`, ...ends.map((state) => `  ${word} --> ${state}`)];
  });
  return [
    'stateDiagram-v2',
    ...states.map((state) => `  ${state}`),
    ...choices,
    ...arrows.map(({ from, to, label }) => `  ${from} --> ${to}: ${label}`),
  ].join('\n');
}

interface Arrow {
  readonly from: string;
  readonly to: string;
  readonly label: string;
}

/** One arrow to each state, with a line for each thing that is done on the way. */
function arrowsFrom(from: string, { rows }: StateTable): Arrow[] {
  const ways = new Map<string, Map<string, string[]>>();
  for (const [signal, { to, act }] of Object.entries(rows[from]!)) {
    if (to === from && act === 'none') continue;
    const acts = ways.get(to) ?? new Map<string, string[]>();
    ways.set(to, acts.set(act, [...(acts.get(act) ?? []), signal]));
  }
  return [...ways].map(([to, acts]) => {
    const lines = [...acts].map(
      ([act, signals]) => `${signals.join(', ')}${act === 'none' ? '' : ` / ${act}`}`,
    );
    return { from, to, label: lines.join('<br/>') };
  });
}

/**
 * Which states a word such as `next` stands for: those that the comment above the table's rows names
 * after it, up to the `as` that says how it is chosen.
 *
 * @example choicesOf('fret', …) // "`fret`: open or stopped, as the fret says" gives open, stopped
 */
function choicesOf(
  word: string,
  states: readonly string[],
  { file, targets }: StateTable,
): string[] {
  const [, list = ''] = new RegExp(`\`${word}\`: (.*?)(?:, as |$)`).exec(targets) ?? [];
  const named = states.filter((state) => new RegExp(`\\b${state}\\b`).test(list));
  if (named.length > 1) return named;
  throw new Error(
    `${file}: "${word}" is no state, and the comment above the rows does not say which it stands for: ` +
      `write "\`${word}\`: this or that, as …"`,
  );
}
