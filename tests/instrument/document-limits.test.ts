import { describe, expect, it } from 'vitest';
import { FileFault } from '../../src/instrument/fault.js';
import { parseRules } from '../../src/instrument/rules.js';
import { parseRoom } from '../../src/instrument/room.js';

/** What is said about a text, and how long that took in milliseconds of this thread. */
function said(text: string, parse: (text: string, file: string) => unknown = parseRules) {
  const began = performance.now();
  try {
    parse(text, 'mine.yaml');
  } catch (error) {
    if (!(error instanceof FileFault)) throw error;
    return { words: error.message, problems: error.problems, ms: performance.now() - began };
  }
  return { words: '', problems: [], ms: performance.now() - began };
}

const keys = (count: number): string =>
  Array.from({ length: count }, (_, i) => `k${String(i)}: 1\n`).join('');

describe('a text that is far more than any file here', () => {
  it('is refused where brackets stand as keys, which would double with each level', () => {
    const { words } = said('{'.repeat(40) + '}'.repeat(40));
    expect(words).toMatch(/^mine\.yaml:1:2: found brackets or a reference where a key should be/);
    expect(said('touch:\n  on: {{ value }}\n').words).toMatch(/^mine\.yaml:2:8: found brackets/);
    expect(said('a: &a x\n*a : 1\n').words).toMatch(/^mine\.yaml:2:1: found brackets or a refer/);
  });

  it.each([
    ['60,000 keys', keys(60_000), /:40000:6: found more than 100000 words and signs/],
    ['501 keys of one group', keys(501), /:501:1: found more than 500 keys in one place/],
    [
      'a million and one characters',
      `# ${'a'.repeat(1_000_000)}`,
      /found a text of more than 1000000/,
    ],
    ['a list of 200,000', `a: [${'1,'.repeat(200_000)}]`, /found more than 100000 words/],
    ['a hundred thousand comments', '#\n'.repeat(100_001), /found more than 100000 words/],
    ['a hundred thousand commas', `a: [${','.repeat(200_000)}]`, /found more than 100000 words/],
    [
      '101 references',
      `a: &a 1\nb: [${'*a,'.repeat(101)}]`,
      /found more than 100 references \(\*\)/,
    ],
    ['a reference to what it is in', '&a [*a]', /:1:5: found a reference \(\*\) that leads/],
    ['one further in', 'a: &a { b: [1, *a] }', /:1:16: found a reference/],
  ])('is refused with the limit: %s', (_what, text, pattern) => {
    const { words, ms } = said(text);
    expect(words).toMatch(pattern);
    // Minutes before; a generous limit for a busy computer.
    expect(ms).toBeLessThan(10_000);
  });

  it('has only the first of its mistakes listed', () => {
    const seat = '{ name: north, instrument: bass, from: { player: demo } }';
    const text = `seats: [${seat}]\nto:\n${'  - 1\n'.repeat(20_000)}`;
    const { problems, ms } = said(text, parseRoom);
    expect(problems).toHaveLength(21);
    expect(problems.at(-1)).toMatchObject({
      at: { line: 23 },
      found: 'more mistakes from here on',
    });
    expect(ms).toBeLessThan(10_000);
  });

  it('has no more seats than a room may have', () => {
    const seat = (_: unknown, i: number): string =>
      `  - { name: s${String(i)}, instrument: bass, from: { player: demo } }\n`;
    const room = (count: number): string =>
      `seats:\n${Array.from({ length: count }, seat).join('')}`;
    expect(said(room(64), parseRoom).problems).toEqual([]);
    expect(said(room(65), parseRoom).problems).toMatchObject([
      { key: 'seats', found: 'a list of 65', allowed: 'a list of 1 to 64' },
    ]);
  });

  it('still finds keys that are written twice, in every group', () => {
    const { problems } = said('touch: { on: 0.3, on: 0.4 }\nkeys: {}\ntouch: {}\n');
    expect(problems.map(({ at }) => at)).toEqual([
      { line: 1, column: 19 },
      { line: 3, column: 1 },
    ]);
  });
});

describe('a file with nothing in it', () => {
  it.each([
    ['', 'an empty file'],
    ['\n \n', 'an empty file'],
    ['# what was here?\n', 'nothing but comments'],
  ])('is no rules: %j', (text, found) => {
    const { problems } = said(text);
    expect(problems).toMatchObject([{ found, at: { line: 1 } }]);
    expect(problems[0]?.fix).toContain('undo it in your editor and save again');
  });

  it('but rules that change nothing may say so', () => {
    expect(parseRules('{}\n', 'mine.yaml').touch).toEqual({ on: 0.2, off: 0.12, lift: 24_000 });
  });
});
