import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

/*
 * Contrast by WCAG 2.2, "relative luminance" and "contrast ratio": text at least 4.5 : 1 (1.4.3), lines
 * and marks at least 3 : 1 (1.4.11).
 */

const css = readFileSync('src/page/browser/style/tokens.css', 'utf8');

function colours(part: string): ReadonlyMap<string, string> {
  return new Map(
    [...part.matchAll(/--([\w-]+): (#[0-9a-f]{6});/g)].map(([, name, hex]) => [name!, hex!]),
  );
}

const [bright = '', byDevice = '', byChoice = ''] = css.split(/@media|:root\[data-scheme='dark'\]/);
const schemes = { bright: colours(bright), dark: colours(byDevice), chosen: colours(byChoice) };

function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const share = parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
}

function contrast(a: string, b: string): number {
  const [dark, light] = [luminance(a), luminance(b)].sort((one, two) => one - two);
  return (light! + 0.05) / (dark! + 0.05);
}

it('measures contrast as the standard does', () => {
  // WCAG 2.2: black on white is 21 : 1; #767676 on white is the usual example of 4.54 : 1 (from memory).
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 9);
  expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2);
});

it('has the same dark by the device and by choice', () => {
  expect(schemes.dark.size).toBeGreaterThan(10);
  expect(schemes.chosen).toEqual(schemes.dark);
});

describe.each(['bright', 'dark'] as const)('the %s scheme', (name) => {
  const at = (colour: string): string => schemes[name].get(colour)!;

  it.each(['card', 'card-raised'])('has text that can be read on %s', (card) => {
    for (const text of ['ink', 'ink-soft', 'copper-strong', 'good', 'warn', 'bad']) {
      expect(contrast(at(text), at(card)), text).toBeGreaterThanOrEqual(4.5);
    }
    for (const mark of ['line', 'copper', 'focus']) {
      expect(contrast(at(mark), at(card)), mark).toBeGreaterThanOrEqual(3);
    }
  });

  it('has text that can be read on copper', () => {
    expect(contrast(at('on-strong'), at('copper-strong'))).toBeGreaterThanOrEqual(4.5);
    expect(contrast(at('ink'), at('copper-pale'))).toBeGreaterThanOrEqual(4.5);
  });

  it('tells a level from its pad', () => {
    expect(contrast(at('copper'), at('copper-pale'))).toBeGreaterThanOrEqual(2.5);
  });
});
