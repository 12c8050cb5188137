import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseBuild } from '../../src/instrument/build.js';
import { FileFault } from '../../src/instrument/fault.js';
import { parseInstrument } from '../../src/instrument/instrument.js';
import { parseOscMessages } from '../../src/instrument/osc-messages.js';
import { parseRoom } from '../../src/instrument/room.js';
import { parseRules } from '../../src/instrument/rules.js';

const shipped = (path: string): string =>
  readFileSync(new URL(`../../config/${path}`, import.meta.url), 'utf8');

const BUILD =
  '{"wiring": [0, null], "pads": [{"rest": 1, "span": 2, "noise": 3, "coupling": []}, null]}';
const ENGINE = 'on: "/note/on voice:i"\noff: /note/off\nsilence: /silence\n';
const PARSERS: Record<string, [(text: string, file: string) => unknown, string]> = {
  instrument: [parseInstrument, shipped('instruments/bass-4x4.yaml')],
  rules: [parseRules, shipped('rules/plain.yaml')],
  room: [parseRoom, shipped('rooms/osc.yaml')],
  build: [parseBuild, BUILD],
  engine: [parseOscMessages, ENGINE],
};

/** How many of the texts were refused; whatever is thrown must be a FileFault that points into the text. */
function refused(parse: (text: string, file: string) => unknown, text: string): number {
  try {
    parse(text, 'a.yaml');
    return 0;
  } catch (error) {
    if (!(error instanceof FileFault)) throw error;
    expect(error.problems.length).toBeGreaterThan(0);
    const lines = text.split('\n').length;
    for (const { at, found, allowed, fix } of error.problems) {
      expect(at!.line).toBeGreaterThanOrEqual(1);
      expect(at!.line).toBeLessThanOrEqual(lines);
      expect(at!.column).toBeGreaterThanOrEqual(1);
      for (const words of [found, allowed, fix]) expect(words).toMatch(/\S/);
    }
    // Two lines a problem, whatever odd text it quotes.
    expect(error.message.split('\n')).toHaveLength(2 * error.problems.length);
    return 1;
  }
}

const SIGNS = [
  ...[
    '- ',
    ': ',
    ', ',
    '[',
    ']',
    '{',
    '}',
    '? ',
    '\n',
    '\n  ',
    '\t',
    '"',
    "'",
    '&a ',
    '*a',
    '!!set ',
  ],
  ...[
    '| \n',
    '>\n',
    '# ',
    '---\n',
    '...\n',
    '%YAML 1.1\n',
    '<<: ',
    '\u0000',
    '\ufeff',
    '\r',
    '~',
    '.nan',
  ],
  ...[
    'name',
    'kind',
    'strings',
    'open',
    'frets',
    'pluck',
    'sound',
    'seats',
    'from',
    'to',
    'osc',
    'midi',
  ],
  ...[
    'touch',
    'on',
    'off',
    'lift',
    'wiring',
    'pads',
    '__proto__',
    'constructor',
    'toString',
    '\ud800',
  ],
  ...['G2', '34', '-1', '1e999', '0x1', '4ms', 'never', 'null', 'true', '😀', '9007199254740993'],
];

describe.each(Object.entries(PARSERS))(
  'no text makes the %s parser throw anything but FileFault',
  (_name, [parse, sample]) => {
    it('neither any characters', () => {
      fc.assert(
        fc.property(
          fc.string({ unit: 'binary', maxLength: 200 }),
          (text) => void refused(parse, text),
        ),
      );
    });

    it('nor the signs and words of such files in any order', () => {
      const soup = fc
        .array(fc.constantFrom(...SIGNS), { maxLength: 40 })
        .map((parts) => parts.join(''));
      fc.assert(
        fc.property(soup, (text) => void refused(parse, text)),
        { numRuns: 500 },
      );
    });

    it('nor a right file with a piece cut out and signs put in', () => {
      let wrong = 0;
      const cut = fc.tuple(
        fc.nat(sample.length),
        fc.nat(12),
        fc.array(fc.constantFrom(...SIGNS), { maxLength: 3 }),
      );
      fc.assert(
        fc.property(cut, ([at, length, signs]) => {
          wrong += refused(parse, sample.slice(0, at) + signs.join('') + sample.slice(at + length));
        }),
        { numRuns: 500 },
      );
      // Else the check above would have checked nothing.
      expect(wrong).toBeGreaterThan(50);
      expect(refused(parse, sample)).toBe(0);
    });

    it('nor any JSON value', () => {
      fc.assert(fc.property(fc.json({ maxDepth: 4 }), (text) => void refused(parse, text)));
    });

    it('nor brackets, dashes and keys nested without an end', () => {
      for (const piece of ['[', '{a: ', '- ', '? ', 'a: ', ': ', '["]",[', '!a ', '&a ']) {
        expect(refused(parse, piece.repeat(20_000)), piece).toBe(1);
      }
    });

    it('nor references that grow without an end', () => {
      const level = (name: string, of: string): string =>
        `${name}: &${name} [${Array(20).fill(`*${of}`).join(', ')}]\n`;
      const bomb = `a: &a [1]\n${'bcdefg'.replace(/./g, (name) =>
        level(name, String.fromCharCode(name.charCodeAt(0) - 1)),
      )}`;
      expect(refused(parse, bomb)).toBe(1);
      expect(refused(parse, 'a: &a [*a]')).toBe(1);
      expect(refused(parse, '&a [*a]')).toBe(1);
    });
  },
);
