import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CEILING, Limiter } from '../../../src/engine/builtin/limiter.js';
import { dbtp } from './true-peak.js';

const RATE = 48_000;
const samples = (length: number, at: (i: number) => number): Float32Array =>
  Float32Array.from({ length }, (_, i) => at(i));
const limited = (
  left: Float32Array,
  right: Float32Array = left.slice(),
  peak?: number,
): Limiter => {
  const limiter = new Limiter(RATE, peak);
  limiter.process(left, right, 0, left.length);
  return limiter;
};

describe('the limiter', () => {
  it('passes what is below the ceiling unchanged, only 1.5 ms later', () => {
    const tone = samples(4_800, (i) => 0.85 * Math.sin(i / 30));
    const left = tone.slice();
    const right = tone.map((sample) => -sample);
    const limiter = limited(left, right);
    const { latency } = limiter;
    expect(latency / RATE).toBeLessThanOrEqual(0.0015);
    expect(left.subarray(latency)).toEqual(tone.subarray(0, tone.length - latency));
    expect(right.subarray(latency)).toEqual(tone.subarray(0, tone.length - latency).map((s) => -s));
    expect(limiter.lowest()).toBe(1);
  });

  // Peaks between samples: up to 3 dB above them (a quarter of the rate, half way between samples).
  it.each([-1, -6, -12])('keeps true peaks below %f dBTP, not samples only', (peak) => {
    const tone = samples(RATE, (i) => 4 * Math.sin((Math.PI / 2) * i + Math.PI / 4));
    limited(tone, tone.slice(), peak);
    const steady = tone.subarray(4_800);
    expect(dbtp(tone)).toBeLessThanOrEqual(peak);
    expect(dbtp(steady)).toBeGreaterThan(peak - 0.3);
    const most = steady.reduce((high, sample) => Math.max(high, Math.abs(sample)), 0);
    expect(20 * Math.log10(most)).toBeCloseTo(peak - 0.2 - 3.01, 1);
  });

  it('keeps bursts, leaps and beats below the ceiling, measured 8 times as close as samples', () => {
    // Music has next to nothing above 0.4 of the rate; meters disagree there. A swell of n samples
    // spreads by 1.5/n to either side of its pitch (the main lobe of half a sine; memory).
    const band = fc.double({ min: 0.001, max: 0.35, noNaN: true });
    const burst = fc.record({
      from: fc.integer({ min: 0, max: 1_500 }),
      length: fc.integer({ min: 30, max: 900 }),
      level: fc.double({ min: 0, max: 12, noNaN: true }),
      pitch: band,
      phase: fc.double({ min: 0, max: 7, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.array(burst, { minLength: 1, maxLength: 8 }), (bursts) => {
        const mix = samples(2_400, (i) => {
          let sum = 0;
          for (const { from, length, level, pitch, phase } of bursts) {
            if (i < from || i >= from + length) continue;
            const swell = Math.sin((Math.PI * (i - from + 0.5)) / length);
            sum += level * swell * Math.sin(2 * Math.PI * pitch * i + phase);
          }
          return sum;
        });
        limited(mix);
        expect(dbtp(mix, 4)).toBeLessThanOrEqual(-1);
        // Four times as close misses up to 0.44 dB of a tone at 0.4 of the rate: cos(π·0.4/4), BS.1770.
        expect(dbtp(mix, 8)).toBeLessThanOrEqual(-0.7);
      }),
      { numRuns: 40 },
    );
  });

  it('never lets a sample pass the ceiling, whatever comes', () => {
    const wild = fc.array(fc.float({ min: -50, max: 50, noNaN: true }), {
      minLength: 1,
      maxLength: 800,
    });
    fc.assert(
      fc.property(wild, wild, (a, b) => {
        const length = Math.min(a.length, b.length) + 80;
        const left = samples(length, (i) => a[i] ?? 0);
        const right = samples(length, (i) => b[i] ?? 0);
        limited(left, right);
        for (const channel of [left, right]) {
          for (const sample of channel) expect(Math.abs(sample)).toBeLessThanOrEqual(CEILING);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('keeps the balance of the channels, and lets go again', () => {
    const left = samples(RATE, (i) => (i < 4_800 ? 4 : 0.4) * Math.sin(i / 20));
    const right = left.map((sample) => sample / 2);
    const before = left.slice();
    const limiter = limited(left, right);
    for (let i = 0; i < left.length; i += 97) expect(right[i]).toBeCloseTo(left[i]! / 2, 6);
    const end = before.slice(-480 - limiter.latency, -limiter.latency);
    for (const [i, sample] of left.slice(-480).entries()) expect(sample).toBeCloseTo(end[i]!, 4);
  });

  it('says how far it turned down since it was asked', () => {
    const swell = (i: number): number => (i < 9_600 ? 4 * Math.sin((Math.PI * i) / 9_600) : 0);
    const limiter = limited(samples(RATE, (i) => swell(i) * Math.sin(i / 20)));
    // 4 is 12.04 dB; it keeps a fifth of a dB below −1 dBTP.
    expect(20 * Math.log10(limiter.lowest())).toBeCloseTo(-12.04 - 1.2, 1);
    expect(limiter.lowest()).toBeGreaterThan(0.999);
  });

  it('does the same in blocks of any length', () => {
    const make = (): Float32Array => samples(5_000, (i) => 3 * Math.sin(i * i * 1e-4));
    const once = make();
    limited(once);
    const again = make();
    const right = again.slice();
    const limiter = new Limiter(RATE);
    for (let at = 0, n = 1; at < again.length; at += n, n = ((n * 7) % 301) + 1) {
      limiter.process(again, right, at, Math.min(again.length, at + n));
    }
    expect(again).toEqual(once);
  });

  it('takes what is no number for silence', () => {
    const left = new Float32Array(200).fill(NaN);
    const right = new Float32Array(200).fill(Infinity);
    limited(left, right);
    expect([...left, ...right].every((sample) => sample === 0)).toBe(true);
  });
});
