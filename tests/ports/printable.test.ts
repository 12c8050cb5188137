import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clean, printable, printableJson } from '../../src/ports/printable.js';

describe('text for a terminal', () => {
  it.each([
    ['an escape sequence (ECMA-48: ESC [, here to clear the screen)', 'a\x1b[2Jb', 'a?[2Jb'],
    ['the same by one C1 character', 'a\u009b2Jb', 'a?2Jb'],
    ['a title by OSC and BEL', '\x1b]0;owned\x07', '?]0;owned?'],
    ['a carriage return and a backspace, which overwrite', 'good\rbad\b!', 'good?bad?!'],
    ['a bidi override (Unicode TR 9)', 'rules\u202egnp.exe', 'rules?gnp.exe'],
    ['bidi isolates and marks', '\u2066a\u2069\u200f\u061c', '?a???'],
    [
      'what is zero wide inside a name',
      'no\u200brth no\u200drth \ufeffnorth',
      'no?rth no?rth ?north',
    ],
    ['invisible letters and tags', 'a\u3164b\u{e0041}', 'a?b?'],
    ['a variation of a letter that has none', 'a\ufe0fb 1\ufe0f', 'a?b 1?'],
    ['other line ends', 'a\u2028b\u2029c\u0085d', 'a?b?c?d'],
    ['half a surrogate', 'a\ud800b', 'a?b'],
  ])('shows %s', (_, text, shown) => {
    expect(printable(text)).toBe(shown);
  });

  it.each([
    ...['Größe, čeština, Ελληνικά, русский, עברית, العربية, 日本語, 한국어, हिन्दी, ไทย'],
    // Persian "I want" has a ZWNJ; Sinhala Sri a ZWJ.
    ...['می\u200cخواهم', 'ශ්\u200dරී'],
    // A family, a flag of a rainbow, a heart in colour, a keycap, and the flag of Scotland by tags.
    ...['👨‍👩‍👧', '🏳️‍🌈', '❤️', '1️⃣', '\u{1f3f4}\u{e0067}\u{e0062}\u{e0073}\u{e0063}\u{e0074}\u{e007f}'],
    'two lines\n\tand a tab',
  ])('leaves %s as it is', (text) => {
    expect(printable(text)).toBe(text);
  });

  it('never lets a control or bidi character through, and keeps all of printable ASCII', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(printable(text)).not.toMatch(/[^\n\t\P{Cc}]|[\u202a-\u202e\u2066-\u2069]/u);
      }),
    );
    const ascii = String.fromCharCode(...Array.from({ length: 95 }, (_, i) => 32 + i));
    expect(printable(ascii)).toBe(ascii);
  });

  it('keeps JSON what it was, with such characters escaped', () => {
    const any = fc.record({ name: fc.string({ unit: 'binary' }), list: fc.array(fc.double()) });
    fc.assert(
      fc.property(any, (value) => {
        const json = printableJson(JSON.stringify(value));
        expect(printable(json)).toBe(json);
        expect(JSON.parse(json)).toEqual(JSON.parse(JSON.stringify(value)));
      }),
    );
  });

  it('of a name that somebody sent is one line, and short', () => {
    expect(clean('north\nerror: all is lost')).toBe('north?error: all is lost');
    expect(clean('x'.repeat(100_000))).toHaveLength(161);
  });

  it('takes linear time', () => {
    const begun = performance.now();
    printable('\u{1f3f4}'.repeat(50_000) + '\u{e0041}'.repeat(100_000) + 'a\u200d'.repeat(100_000));
    expect(performance.now() - begun).toBeLessThan(5_000);
  });
});
