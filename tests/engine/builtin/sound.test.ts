import { describe, expect, it } from 'vitest';
import { amplitudeOfVelocity } from '../../../src/engine/builtin/loudness.js';
import { frequencyOf } from '../../../src/engine/builtin/frequency.js';
import {
  centroid,
  centsOff,
  db,
  LAW,
  off,
  on,
  peak,
  rendered,
  rms,
  RATE,
  steepest,
} from './helpers.js';
import { seatSound } from '../../support/seat-sound.js';

describe('loudness', () => {
  it.each(LAW)('of velocity %i is %f dB', (velocity, level) => {
    expect(db(amplitudeOfVelocity(velocity))).toBeCloseTo(level, 1);
  });

  it.each(LAW)('follows the law as heard: velocity %i is within 1 dB of %f', (velocity, level) => {
    const strength = velocity / 127;
    const loud = rms(rendered([on({ velocity: 127, strength: 1 })], 0.2));
    expect(
      Math.abs(db(rms(rendered([on({ velocity, strength })], 0.2)) / loud) - level),
    ).toBeLessThan(1);
  });

  it('of one loud note is about −12 dBFS', () => {
    for (const note of [28, 33, 38, 43, 60]) {
      const level = db(peak(rendered([on({ note, velocity: 127, strength: 1 })], 0.5)));
      expect(Math.abs(level + 12)).toBeLessThan(2);
    }
  });

  it("follows the seat's level as a factor", () => {
    const seats = [1, 0.5, 0].map((level) =>
      seatSound({ name: 'a', sound: 34, level, strings: 4 }),
    );
    const [full, half, none] = [0, 1, 2].map((seat) =>
      rms(rendered([on({ seat })], 0.2, { seats })),
    );
    expect(half! / full!).toBeCloseTo(0.5, 3);
    expect(none).toBe(0);
  });

  it('has no offset', () => {
    const samples = rendered([on({ velocity: 127 })], 2);
    const mean = samples.reduce((sum, sample) => sum + sample, 0) / samples.length;
    expect(Math.abs(mean)).toBeLessThan(1e-4);
  });
});

describe('brightness', () => {
  it.each([28, 40, 60])('of note %i rises with strength', (note) => {
    const centroids = [0, 0.25, 0.5, 0.75, 1].map((strength) =>
      centroid(rendered([on({ note, strength })], 0.3), frequencyOf(note)),
    );
    for (let i = 1; i < centroids.length; i++) {
      expect(centroids[i]).toBeGreaterThan(1.05 * centroids[i - 1]!);
    }
  });
});

describe('a slur', () => {
  const slurred = [
    on({ note: 33 }),
    off({ t: 400_000, slurred: true }),
    on({ t: 400_000, voice: 2, note: 36, how: 'hammer' }),
  ];

  it('goes on at the new pitch', () => {
    const samples = rendered(slurred, 1.5);
    expect(Math.abs(centsOff(samples, 0.5 * RATE, frequencyOf(36)))).toBeLessThan(1);
  });

  it('has no attack: it never gets louder, nor jumps more than the note did', () => {
    const samples = rendered(slurred, 1);
    const before = samples.subarray(0.3 * RATE, 0.4 * RATE);
    const after = samples.subarray(0.4 * RATE, 0.5 * RATE);
    expect(rms(after)).toBeLessThan(1.05 * rms(before));
    expect(rms(after)).toBeGreaterThan(0.7 * rms(before));
    expect(steepest(after)).toBeLessThan(1.2 * steepest(before));
  });

  it('to another string leaves that string alone', () => {
    const events = [...slurred.slice(0, 2), on({ t: 400_000, voice: 2, note: 60, string: 1 })];
    const samples = rendered(events, 1);
    expect(Math.abs(centsOff(samples, 0.5 * RATE, frequencyOf(60)))).toBeLessThan(1);
  });

  it('that nothing carries on ends', () => {
    expect(peak(rendered(slurred.slice(0, 2), 1).subarray(0.7 * RATE))).toBe(0);
  });

  it('ends by the off of the voice it became', () => {
    const samples = rendered([...slurred, off({ t: 600_000, voice: 2 })], 1);
    expect(peak(samples.subarray(0.9 * RATE))).toBe(0);
  });
});

describe('an off', () => {
  it('takes 60 dB in about 80 ms, without a click', () => {
    const samples = rendered([on(), off({ t: 500_000 })], 1);
    const before = samples.subarray(0.4 * RATE, 0.5 * RATE);
    const after = samples.subarray(0.58 * RATE, 0.6 * RATE);
    expect(db(rms(after) / rms(before))).toBeLessThan(-55);
    expect(steepest(samples.subarray(0.49 * RATE, 0.6 * RATE))).toBeLessThan(
      1.1 * steepest(before),
    );
    expect(peak(samples.subarray(0.7 * RATE))).toBe(0);
  });
});
