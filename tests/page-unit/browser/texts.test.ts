import { describe, expect, it } from 'vitest';
import { firstLanguage, LANGUAGES } from '../../../src/page/browser/texts/texts.js';

/** Every place in a tree of texts, and what is there. */
function places(value: unknown, path = ''): [string, unknown][] {
  if (typeof value !== 'object' || value === null) return [[path, value]];
  return Object.entries(value).flatMap(([key, one]) => places(one, `${path}.${key}`));
}

describe.each(Object.entries(LANGUAGES))('the texts in %s', (code, { texts }) => {
  it('are all there, and none is empty that English has', () => {
    const all = places(texts);
    // The service's own words are English, so that another language may have more of its own.
    const paths = places(LANGUAGES.en.texts).map(([path]) => path);
    expect(all.map(([path]) => path)).toEqual(expect.arrayContaining(paths));
    for (const [path, text] of all) {
      expect(['string', 'function'], path).toContain(typeof text);
      // What English needs no words for may need some elsewhere, never the other way round.
      if (typeof text === 'string' && code !== 'en') expect(text.trim(), path).not.toBe('');
    }
  });

  it('name 128 sounds, each once, eight to a group, as General MIDI has them', () => {
    const names = texts.sounds.groups.flatMap(([, group]) => group);
    expect(texts.sounds.groups.map(([, group]) => group.length)).toEqual(Array(16).fill(8));
    expect(new Set(names).size).toBe(128);
  });
});

describe('the language to begin with', () => {
  it('is the one that was chosen', () => {
    expect(firstLanguage('en', ['de-AT'])).toBe('en');
  });

  it("is else the browser's first one that there is", () => {
    expect(firstLanguage(null, ['fr-FR', 'de-AT', 'en'])).toBe('de');
  });

  it('is else English', () => {
    expect(firstLanguage('xx', ['fr', '', 'constructor'])).toBe('en');
  });
});
