import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseTemplate } from '../../src/engine/osc-template.js';
import { TemplateError } from '../../src/engine/osc-template-error.js';

/** The message a person reads, and the part of the line that its column points at. */
function fault(line: string, names: 'all' | 'none' = 'all'): { says: string; at: string } {
  try {
    parseTemplate(line, names);
  } catch (error) {
    if (error instanceof TemplateError) {
      return { says: error.message, at: line.slice(error.column - 1) };
    }
    throw error;
  }
  throw new Error(`was read: ${line}`);
}

describe('a message template', () => {
  it('is an address and arguments with types', () => {
    expect(parseTemplate('/note/on voice:i frequency:f seat:s 0.5:f -3:h "a b":s')).toEqual({
      address: [{ text: '/note/on' }],
      args: [
        { type: 'i', name: 'voice' },
        { type: 'f', name: 'frequency' },
        { type: 's', name: 'seat' },
        { type: 'f', value: 0.5 },
        { type: 'h', value: -3 },
        { type: 's', value: 'a b' },
      ],
    });
  });

  it('may hold names in its address, and blanks around', () => {
    expect(parseTemplate('  /bass/{seat}/s{string}/on  ').address).toEqual([
      { text: '/bass/' },
      { name: 'seat' },
      { text: '/s' },
      { name: 'string' },
      { text: '/on' },
    ]);
  });

  it('may hold quotes and backslashes in a text', () => {
    const { args } = parseTemplate(String.raw`/x "say \"hi\" \\ now":s voice:i`);
    expect(args).toEqual([
      { type: 's', value: String.raw`say "hi" \ now` },
      { type: 'i', name: 'voice' },
    ]);
  });
});

describe('a template that cannot be read', () => {
  it.each([
    ['', 'the message is empty', ''],
    ['note/on', '"note/on" is no address. An OSC address begins with /', 'note/on'],
    ['/a//b', 'the address has an empty part', '//b'],
    ['/a/', 'the address has an empty part', '/'],
    ['/a*', 'an OSC address cannot hold "*"', '*'],
    ['/é', 'an OSC address cannot hold "é"', 'é'],
    ['/a/{seat', 'a brace stands alone. Write a name in braces, as {seat}', '{seat'],
    ['/a/{saet}', 'there is no "saet". Did you mean seat?', 'saet}'],
    ['/a/{}', 'a name is missing', '}'],
    ['/a/{frequency}', 'frequency cannot be part of an address', 'frequency}'],
    [
      '/a freq:f',
      'there is no "freq". Did you mean frequency? The names are voice, note',
      'freq:f',
    ],
    ['/a Note:i', 'Did you mean note?', 'Note:i'],
    ['/a voice', 'voice has no type. Write it with one, as voice:i', 'voice'],
    ['/a 0.5', '0.5 has no type. Write it with one, as 0.5:f', '0.5'],
    ['/a "x"', '"x" has no type. Write it with one, as "x":s', '"x"'],
    ['/a "x:s', 'a text has no closing quote', '"x:s'],
    ['/a voice:', 'voice: has no type. Use one of i', ''],
    ['/a voice:int', 'there is no type "int". Use one of i', 'int'],
    ['/a frequency:i', 'frequency cannot be sent as i. Write one of frequency:f', 'frequency:i'],
    ['/a 1.5:i', '1.5 is no whole number, or too large for i', '1.5:i'],
    ['/a 2147483648:i', 'too large for i', '2147483648:i'],
    ['/a 1e39:f', '1e39 is too large for f', '1e39:f'],
    ['/a 1:s', '1 is a number and not a text. Write "1":s', '1:s'],
    ['/a "x":i', 'a text in quotes cannot be sent as i', '"x":i'],
    ['/a voice:i,note:i', 'there is no "voice:i,note"', 'voice:i,note:i'],
  ])('%j says %j', (line, says, at) => {
    const told = fault(line);
    expect(told.says).toContain(says);
    expect(told.at).toBe(at);
  });

  it('may speak of no voice where none is meant', () => {
    expect(fault('/silence voice:i', 'none').says).toContain('about no single voice');
    expect(fault('/{seat}/silence', 'none').says).toContain('about no single voice');
    expect(parseTemplate('/silence 1:i', 'none').args).toEqual([{ type: 'i', value: 1 }]);
  });

  it('never fails in another way, whatever is written', () => {
    const pieces = fc.constantFrom(
      ...'/ {seat} { } : voice note:i "a" " \\ 1 .5:f é # e'.split(' '),
    );
    const line = fc.oneof(
      fc.string(),
      fc.array(fc.oneof(pieces, fc.constant(' '))).map((p) => p.join('')),
    );
    fc.assert(
      fc.property(line, (text) => {
        try {
          parseTemplate(text);
        } catch (error) {
          expect(error).toBeInstanceOf(TemplateError);
          const { column, next } = error as TemplateError;
          expect(column).toBeGreaterThanOrEqual(1);
          expect(column).toBeLessThanOrEqual(text.length + 1);
          expect(next).not.toBe('');
        }
      }),
      { numRuns: 2_000 },
    );
  });
});
