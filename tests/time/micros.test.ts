import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { formatDuration, parseDuration } from '../../src/time/micros.js';

describe('durations', () => {
  it.each([
    ['4ms', 4_000],
    ['1.5 s', 1_500_000],
    ['250us', 250],
    ['2min', 120_000_000],
    [' 0ms ', 0],
  ])('reads %s', (text, micros) => {
    expect(parseDuration(text)).toBe(micros);
  });

  it.each(['4', 'ms', '-4ms', '4 m', '4ms5', '', '1e3ms'])('refuses %j', (text) => {
    expect(parseDuration(text)).toBeUndefined();
  });

  it('writes what it reads', () => {
    fc.assert(
      fc.property(fc.nat(), (micros) => {
        expect(parseDuration(formatDuration(micros))).toBe(micros);
      }),
    );
  });
});
