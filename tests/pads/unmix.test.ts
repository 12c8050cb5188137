import { describe, expect, it } from 'vitest';
import { unmix, unmixing } from '../../src/pads/unmix.js';

const pad = (span: number, coupling: { from: number; share: number }[] = []) => ({
  rest: 1_000,
  span,
  noise: 5,
  coupling,
});

function ownOf(pads: Parameters<typeof unmixing>[0], read: number[]): number[] {
  const own = new Float64Array(read.length);
  unmix(unmixing(pads)!, Float64Array.from(read), own);
  return [...own].map((level) => Number(level.toFixed(3)) + 0);
}

describe('unmixing', () => {
  const row = [
    pad(400, [{ from: 1, share: 0.15 }]),
    pad(200, [
      { from: 0, share: 0.15 },
      { from: 2, share: 0.15 },
    ]),
    pad(400, [{ from: 1, share: 0.15 }]),
  ];

  it('takes out what neighbours put on a pad, in proportion to the spans', () => {
    expect(ownOf(row, [1, 0.3, 0])).toEqual([1, 0, 0]);
    // Own levels of 1, 0.5 and 0.8, mixed by hand.
    const [a, b, c] = ownOf(row, [1 + 0.0375, 0.5 + 0.54, 0.8 + 0.0375]);
    expect(Math.abs(a! - 1)).toBeLessThan(0.005);
    expect(Math.abs(b! - 0.5)).toBeLessThan(0.005);
    expect(Math.abs(c! - 0.8)).toBeLessThan(0.005);
  });

  it('carries nothing on from a pad that reads below rest', () => {
    expect(ownOf(row, [0, -0.4, 0])).toEqual([0, -0.4, 0]);
  });

  it('is not needed where nothing couples', () => {
    expect(unmixing([pad(400), null])).toBe(null);
  });
});
