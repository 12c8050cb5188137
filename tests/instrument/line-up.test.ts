import { describe, expect, it } from 'vitest';
import { FileFault } from '../../src/instrument/fault.js';
import { parseInstrument } from '../../src/instrument/instrument.js';
import { parseRoom } from '../../src/instrument/room.js';
import { parseRules } from '../../src/instrument/rules.js';

type Parse = (text: string, file: string) => unknown;

function said(text: string, parse: Parse = parseRoom): string {
  try {
    parse(text, 'class.yaml');
  } catch (error) {
    if (error instanceof FileFault) return error.message;
    throw error;
  }
  return 'nothing';
}

const ROOM = `# Our class
seats:
  - name: north
    instrument: bass-4x4
    from: { player: demo }
    rules: plain

  - name: south
    instrument: bass-4x4
    from:
      player: demo
to:
  - builtin: {}
key: D
`.split('\n');

/** The room with one line moved by some columns. */
function moved(line: number, by: number): string {
  const text = ROOM[line - 1]!;
  const now = by > 0 ? ' '.repeat(by) + text : text.slice(-by);
  return ROOM.with(line - 1, now).join('\n');
}

describe('a line that starts in the wrong column', () => {
  it.each([
    [4, -1, 'instrument:', 'under "name:"'],
    [4, 1, 'instrument:', 'under "name:"'],
    [4, 3, 'instrument:', 'under "name:"'],
    [5, -1, 'from:', 'under "instrument:"'],
    [6, 1, 'rules:', 'under "from:"'],
    [8, -1, '- name: south', 'under "- name: north"'],
    [8, 1, '- name: south', 'under "- name: north"'],
    [9, -1, 'instrument:', 'under "name:"'],
    [10, 2, 'from:', 'under "instrument:"'],
    [12, 1, 'to:', 'under "seats:"'],
    [14, 1, 'key:', 'under "to:"'],
  ])('line %i by %i: says which line %s must start under', (line, by, words, beside) => {
    const told = said(moved(line, by));
    const column = ROOM[line - 1]!.search(/\S/) + 1 + by;
    expect(told).toContain(`class.yaml:${String(line)}:${String(column)}: found "${words}", which`);
    const count = Math.abs(by) === 1 ? '1 space' : `${String(Math.abs(by))} spaces`;
    expect(told).toContain(
      `Move line ${String(line)} by ${count} to the ${by > 0 ? 'left' : 'right'}`,
    );
    expect(told).toContain(`so that "${words}" starts exactly ${beside}`);
    expect(told).not.toContain('bracket');
  });

  it.each([
    [
      3,
      1,
      'Move line 3 by 1 space to the left, so that "name:" starts exactly above "instrument:"',
    ],
    [3, -1, 'Move line 3 by 1 space to the right, so that "name:" starts exactly above "instr'],
    [2, 1, 'Move line 2 by 1 space to the left, so that "seats:" starts exactly above "to:"'],
  ])('the first line of a level, line %i by %i, is moved to the others', (line, by, told) => {
    expect(said(moved(line, by))).toContain(told);
  });

  it('names both levels where it is as near to either', () => {
    expect(said('touch:\n  on: 0.3\n off: 0.2\n', parseRules)).toContain(
      'so that "off:" starts exactly under "on:"; or under "touch:" of line 1',
    );
  });

  it('what was moved as it says is right', () => {
    for (const [line, by] of [
      [4, -1],
      [6, 2],
      [8, 1],
      [12, 1],
    ] as const) {
      const text = moved(line, by);
      const [, at = '', count = '', to = ''] =
        /Move line (\d+) by (\d+) spaces? to the (left|right)/.exec(said(text)) ?? [];
      const lines = text.split('\n');
      const wrong = lines[Number(at) - 1]!;
      const right = to === 'left' ? wrong.slice(Number(count)) : ' '.repeat(Number(count)) + wrong;
      expect(said(lines.with(Number(at) - 1, right).join('\n'))).toBe('nothing');
    }
  });
});

const HEAD = 'name: Harp\nkind: strings\nsound: 34\nstrings:\n';

describe('brackets', () => {
  it.each([
    [`${HEAD}  - open: G2\n    frets: [0, 1\n    pluck: 2\n`, 'class.yaml:6:12: found a "["'],
    [`${HEAD}  - { open: G2, frets: [0, pluck: 2 }\n  - {}\n`, 'class.yaml:5:24: found a "["'],
    [
      `${HEAD}  - { open: G2, pluck: 2\n  - { open: D2, pluck: 3 }\n`,
      'class.yaml:5:5: found a "{"',
    ],
  ])('that are never closed are told by where they open: %j', (text, told) => {
    expect(said(text, parseInstrument)).toContain(`${told} that is never closed`);
  });

  it('and those in comments and quotation marks are none', () => {
    const text = `${HEAD}  - open: G2 # [ not one\n     pluck: 0\n`;
    expect(said(text, parseInstrument)).toContain('so that "pluck:" starts exactly under "open:"');
    const quoted = 'seats:\n  - name: "a [ b"\n     instrument: x\n';
    expect(said(quoted)).toContain('so that "instrument:" starts exactly under "name:"');
  });

  it('may not hold lines that start as far left as the line they open in', () => {
    expect(said('seats: [\n{ name: n }\n]\n')).toContain(
      'class.yaml:2:1: found a line within the brackets of line 1 that starts as far left',
    );
  });
});

describe('typographic quotation marks', () => {
  const seat = (name: string): string =>
    `seats:\n  - name: ${name}\n    instrument: bass-4x4\n    from: { player: demo }\n`;

  it.each([
    ['“north”', 'north'],
    ['„north“', 'north'],
    ['‚north‘', 'north'],
    ['‘north’', 'north'],
    ['«north»', 'north'],
    ['« north »', 'north'],
    ['“north"', 'north'],
    ['"north”', 'north'],
    ["'north’", 'north'],
    ['“north: one”', 'north: one'],
    ['north”', 'north'],
  ])('round a value are told with the straight ones: %s', (written, inner) => {
    expect(said(seat(written))).toBe(
      `class.yaml:2:11: found typographic quotation marks, which become part of the text, ` +
        `allowed: straight quotation marks, or none\n    Write it with straight ones: "${inner}"`,
    );
  });

  it('also round keys and in brackets, each with its place', () => {
    const text = 'seats:\n  - { “name”: „north“, instrument: bass-4x4, from: { osc: 9000 } }\n';
    expect(said(text).match(/class\.yaml:\d+:\d+/g)).toEqual(['class.yaml:2:7', 'class.yaml:2:15']);
  });

  it.each(['Anna’s bass', 'the boys’', 'O’Neill', '"the “big” bass"', "'„x“'"])(
    'are fine within a text: %s',
    (name) => {
      expect(said(seat(name))).toBe('nothing');
    },
  );
});
