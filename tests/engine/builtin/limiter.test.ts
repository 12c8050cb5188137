import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CEILING, Limiter } from '../../../src/engine/builtin/limiter.js';

const RATE = 48_000;

describe('the limiter', () => {
  it('passes what is below the ceiling unchanged, only later', () => {
    const limiter = new Limiter(RATE);
    const tone = Float32Array.from({ length: 4_800 }, (_, i) => 0.85 * Math.sin(i / 30));
    const left = tone.slice();
    const right = tone.map((sample) => -sample);
    limiter.process(left, right, 0, left.length);
    const { latency } = limiter;
    expect(latency / RATE).toBeLessThan(0.0015);
    expect(left.subarray(latency)).toEqual(tone.subarray(0, tone.length - latency));
    expect(right.subarray(latency)).toEqual(tone.subarray(0, tone.length - latency).map((s) => -s));
  });

  it('never lets a sample pass the ceiling', () => {
    const wild = fc.array(fc.float({ min: -50, max: 50, noNaN: true }), {
      minLength: 1,
      maxLength: 800,
    });
    fc.assert(
      fc.property(wild, wild, (a, b) => {
        const limiter = new Limiter(RATE);
        const length = Math.min(a.length, b.length) + 60;
        const left = Float32Array.from({ length }, (_, i) => a[i] ?? 0);
        const right = Float32Array.from({ length }, (_, i) => b[i] ?? 0);
        limiter.process(left, right, 0, length);
        for (const channel of [left, right]) {
          for (const sample of channel) expect(Math.abs(sample)).toBeLessThanOrEqual(CEILING);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('keeps the balance of the channels, and lets go again', () => {
    const limiter = new Limiter(RATE);
    const left = Float32Array.from(
      { length: RATE },
      (_, i) => (i < 4_800 ? 4 : 0.4) * Math.sin(i / 20),
    );
    const right = left.map((sample) => sample / 2);
    const end = left.slice(-480 - limiter.latency, -limiter.latency);
    limiter.process(left, right, 0, left.length);
    for (let i = 0; i < left.length; i += 97) expect(right[i]).toBeCloseTo(left[i]! / 2, 6);
    for (const [i, sample] of left.slice(-480).entries()) expect(sample).toBeCloseTo(end[i]!, 4);
  });

  it('takes what is no number for silence', () => {
    const limiter = new Limiter(RATE);
    const left = new Float32Array(200).fill(NaN);
    const right = new Float32Array(200).fill(Infinity);
    limiter.process(left, right, 0, 200);
    expect([...left, ...right].every((sample) => sample === 0)).toBe(true);
  });
});
