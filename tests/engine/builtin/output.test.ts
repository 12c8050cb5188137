import { describe, expect, it } from 'vitest';
import { Output, type Ceiling } from '../../../src/engine/builtin/output.js';
import { RATE, tones } from './tones.js';

const LOUD = tones([
  [4, -6],
  [4, -40],
]);

function through(ceiling: Ceiling | undefined, lengths: readonly number[] = [128]) {
  const output = new Output(RATE, ceiling);
  const left = LOUD.slice();
  const right = LOUD.slice();
  for (let at = 0, i = 0; at < left.length; i++) {
    const to = Math.min(left.length, at + lengths[i % lengths.length]!);
    output.process(left, right, at, to);
    at = to;
  }
  return { output, left };
}

describe('the output', () => {
  it('is only later where nothing is too loud', () => {
    const { output, left } = through(undefined);
    expect(left.subarray(output.latency)).toEqual(LOUD.subarray(0, LOUD.length - output.latency));
    const { integrated, truePeak, limiting, mostLimiting } = output.loudness();
    // −6 dBFS on both channels at 1 kHz is −6.0 LUFS (BS.1770); the quiet part is below the gate, but for
    // the blocks at its edge.
    expect(Math.abs(integrated + 6)).toBeLessThan(0.2);
    expect(truePeak).toBeCloseTo(-6, 1);
    expect([limiting, mostLimiting]).toEqual([0, 0]);
  });

  it('says how far both ceilings turned it down, since it was asked and at most', () => {
    const { output } = through({ peak: -10, loudness: null });
    const first = output.loudness();
    expect(first.truePeak).toBeLessThanOrEqual(-10);
    expect(first.limiting).toBeCloseTo(4.2, 1);
    const second = output.loudness();
    expect(second.limiting).toBeLessThan(0.1);
    expect(second.mostLimiting).toBe(first.limiting);
    const slow = through({ peak: -1, loudness: -30 }).output.loudness();
    expect(slow.limiting).toBeGreaterThan(24);
    expect(slow.integrated).toBeLessThan(-30);
  });

  it('is the same whatever the lengths of the blocks', () => {
    const ceiling = { peak: -3, loudness: -20 };
    const once = through(ceiling);
    const again = through(ceiling, [1, 77, 480, 333, 1_500]);
    expect(again.left).toEqual(once.left);
    expect(again.output.loudness().integrated).toBeCloseTo(once.output.loudness().integrated, 9);
  });
});
