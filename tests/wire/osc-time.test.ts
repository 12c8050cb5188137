import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { oscTimeTag, unixTime } from '../../src/wire/osc-time.js';

// Against the specification and independent readers: osc-codec.test.ts.
describe('time tags', () => {
  it('give back every microsecond', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 2_000_000_000_000_000 }), (unix) => {
        const tag = oscTimeTag(unix);
        expect(tag.fraction).toBeLessThan(2 ** 32);
        expect(unixTime(tag)).toBe(unix);
      }),
    );
  });
});
