import { describe, expect, it } from 'vitest';
import { kWeighting, loudnessOf, meanSquareOf } from '../../../src/engine/builtin/k-weighting.js';

/** What the whole weighting makes of a tone, in dB. */
function response(sampleRate: number, hz: number): number {
  const omega = (2 * Math.PI * hz) / sampleRate;
  const size = (c0: number, c1: number, c2: number): number =>
    Math.hypot(
      c0 + c1 * Math.cos(omega) + c2 * Math.cos(2 * omega),
      c1 * Math.sin(omega) + c2 * Math.sin(2 * omega),
    );
  const gains = kWeighting(sampleRate).map(
    ({ b0, b1, b2, a1, a2 }) => size(b0, b1, b2) / size(1, a1, a2),
  );
  return 20 * Math.log10(gains[0]! * gains[1]!);
}

describe('K-weighting', () => {
  it('has the coefficients of ITU-R BS.1770 at 48 kHz', () => {
    const [shelf, highPass] = kWeighting(48_000);
    // Tables 1 and 2 of the standard, as quoted in other texts.
    expect(shelf.b0).toBeCloseTo(1.53512485958697, 12);
    expect(shelf.b1).toBeCloseTo(-2.69169618940638, 12);
    expect(shelf.b2).toBeCloseTo(1.19839281085285, 12);
    expect(shelf.a1).toBeCloseTo(-1.69065929318241, 12);
    expect(shelf.a2).toBeCloseTo(0.73248077421585, 12);
    expect([highPass.b0, highPass.b1, highPass.b2]).toEqual([1, -2, 1]);
    expect(highPass.a1).toBeCloseTo(-1.99004745483398, 12);
    expect(highPass.a2).toBeCloseTo(0.99007225036621, 12);
  });

  it('has those of other implementations at 44.1 kHz', () => {
    // Memory: values that circulate with several open implementations of the standard.
    const [shelf, highPass] = kWeighting(44_100);
    expect(shelf.b0).toBeCloseTo(1.5308412300503478, 9);
    expect(shelf.b1).toBeCloseTo(-2.6509799951547297, 9);
    expect(shelf.b2).toBeCloseTo(1.1690790799215869, 9);
    expect(shelf.a1).toBeCloseTo(-1.6636551132560204, 9);
    expect(shelf.a2).toBeCloseTo(0.7125954280732254, 9);
    expect(highPass.a1).toBeCloseTo(-1.9891696736297957, 9);
    expect(highPass.a2).toBeCloseTo(0.9891990357870394, 9);
  });

  it.each([22_050, 44_100, 88_200, 96_000, 192_000])(
    'weighs tones up to 5 kHz at %i Hz as at 48 kHz within 0.05 dB',
    (rate) => {
      for (const hz of [20, 38, 60, 100, 300, 997, 1_500, 2_000, 3_000, 5_000]) {
        expect(Math.abs(response(rate, hz) - response(48_000, hz))).toBeLessThan(0.05);
      }
    },
  );

  it('lifts 997 Hz by the 0.691 dB that loudness takes off again', () => {
    expect(response(48_000, 997)).toBeCloseTo(0.691, 2);
    expect(loudnessOf(meanSquareOf(-23))).toBeCloseTo(-23, 12);
    expect(loudnessOf(0)).toBe(-Infinity);
  });
});
