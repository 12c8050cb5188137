import { readdirSync, readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { STRING_TABLE } from '../../src/playing/string-table.js';
import { diagram, signalsOf, statesSection, withSection } from './state-docs.js';
import { described, isTable, stateTables, type StateTable } from './state-tables.js';

const STATES = readFileSync(new URL('../../docs/states.md', import.meta.url), 'utf8');

/** A door with two states of its own, one of which a word may stand for. */
const DOOR = `/**
 * The life of a door, as a total table: every state meets every signal. It has no lock.
 *
 * open:  one can go
 *        through
 * shut:  one cannot
 */
export type DoorState = 'open' | 'shut' | 'ajar';

/** push: somebody pushes; wind: a gust; rust: time. */
export type DoorSignal = 'push' | 'wind' | 'rust';

/** bang: it is heard. */
export type DoorAction = 'none' | 'bang';

/** \`blown\`: open or shut, as the wind comes. */
export interface DoorRow {}
`;
const stay = (to: string) => ({ to, act: 'none' });
const ROWS: StateTable['rows'] = {
  open: { push: stay('shut'), wind: { to: 'blown', act: 'bang' }, rust: stay('open') },
  shut: { push: stay('open'), wind: { to: 'open', act: 'bang' }, rust: stay('shut') },
  ajar: { push: stay('shut'), wind: { to: 'ajar', act: 'bang' }, rust: stay('ajar') },
};

describe('the state machines in docs/states.md', () => {
  let tables: StateTable[] = [];
  beforeAll(async () => {
    tables = await stateTables();
  });

  it('are those of the code (if not: npm run docs)', async () => {
    expect(withSection(STATES, await statesSection(tables))).toBe(STATES);
  });

  it('are all there is: every file named …-table.ts that holds a State type', () => {
    const src = new URL('../../src/', import.meta.url);
    const files = readdirSync(src, { recursive: true, encoding: 'utf8' })
      .filter((file) => /\.ts$/.test(file))
      .filter((file) => /export const \w+_TABLE\b/.test(readFileSync(new URL(file, src), 'utf8')));
    expect(tables.map(({ file }) => file).sort()).toEqual(
      files.map((file) => `src/${file}`).sort(),
    );
    expect(tables.length).toBeGreaterThanOrEqual(3);
  });

  it('name their states, signals and actions in the comments above them', () => {
    for (const table of tables) {
      const words = [table.more, table.signals, table.actions].join(' ');
      for (const signal of signalsOf(table)) {
        expect(words, `${table.file}: ${signal}`).toMatch(new RegExp(`\\b${signal}\\b`));
      }
      if (table.states.size > 0) {
        expect([...table.states.keys()], table.file).toEqual(Object.keys(table.rows));
      }
    }
  });
});

describe('a table as text', () => {
  const door = described('door-table.ts', DOOR, ROWS);

  it('has the words of its comments', () => {
    expect(door).toMatchObject({ title: 'The life of a door', more: 'It has no lock.' });
    expect([...door.states]).toEqual([
      ['open', 'one can go through'],
      ['shut', 'one cannot'],
    ]);
    expect(door).toMatchObject({
      signals: 'push: somebody pushes; wind: a gust; rust: time.',
      actions: 'bang: it is heard.',
      targets: '`blown`: open or shut, as the wind comes.',
    });
    expect(() => described('x.ts', 'export type DoorState = 1;', ROWS)).toThrow(
      /x\.ts: no comment/,
    );
  });

  it('has a row a signal and a column a state', async () => {
    const section = await statesSection([door]);
    const rows = section.split('\n').filter((line) => line.startsWith('|'));
    expect(
      rows.map((row) =>
        row
          .split('|')
          .slice(1, -1)
          .map((one) => one.trim()),
      ),
    ).toEqual([
      ['', 'open', 'shut', 'ajar'],
      [expect.stringMatching(/^-+$/), ...Array<unknown>(3).fill(expect.stringMatching(/^-+$/))],
      ['**push**', '→ shut', '→ open', '→ shut'],
      ['**wind**', 'bang → blown', 'bang → open', 'bang'],
      ['**rust**', '·', '·', '·'],
    ]);
  });

  // That Mermaid reads and draws the diagrams was seen with mermaid 11.17.2 in Chromium.
  it('has a diagram with an arrow for all that changes or does something', () => {
    expect(diagram(door)).toBe(`stateDiagram-v2
  open
  shut
  ajar
  state blown <<choice>>
  blown --> open
  blown --> shut
  open --> shut: push
  open --> blown: wind / bang
  shut --> open: push<br/>wind / bang
  ajar --> shut: push
  ajar --> ajar: wind / bang`);
  });

  it('is refused where it goes to what is no state, or is not total', () => {
    const odd = { ...door, targets: '' };
    expect(() => diagram(odd)).toThrow(/door-table\.ts: "blown" is no state/);
    const { wind, ...rest } = ROWS.open!;
    expect(wind).toBeDefined();
    expect(() => signalsOf({ file: 'd', rows: { ...ROWS, ajar: rest } })).toThrow(/ajar.*wind/);
  });

  it('is told from other things that a module exports', () => {
    expect(isTable(STRING_TABLE)).toBe(true);
    for (const other of [
      {},
      { a: {} },
      { a: { b: 1 } },
      null,
      [1],
      () => 1,
      { a: { b: { to: 'a' } } },
    ])
      expect(isTable(other)).toBe(false);
  });

  it('stands between its markers, and only there', () => {
    const text = 'before\n<!-- states:begin -->\nold\n<!-- states:end -->\nafter\n';
    expect(withSection(text, 'new')).toBe('before\nnew\nafter\n');
    expect(() => withSection('before', 'new')).toThrow(/no <!-- states:begin -->/);
  });
});
