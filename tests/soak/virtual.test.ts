import { describe, expect, it } from 'vitest';
import type { VoiceOn } from '../../src/room/voice.js';
import { comparePhrase } from './phrase.js';
import { growth } from './used.js';
import { soak } from './virtual.js';

describe('a class that plays for a while', () => {
  // All of it: npm run soak -- --hours 24, and --hours 4 --rate 250.
  it.each([
    [25, 0.1],
    [250, 0.05],
  ])(
    'at %d scans a second loses nothing and plays at the end as at the start',
    async (rate, hours) => {
      const { broken, phrase, scans } = await soak({
        hours,
        rate,
        seats: 8,
        look: () => undefined,
      });
      // What a test runner itself keeps has no part in this.
      expect(broken.filter((one) => !/^(heap|rss|handles|threads) grew/.test(one))).toEqual([]);
      expect(scans).toBe(hours * 3_600 * rate * 8);
      expect(phrase.first).toBeGreaterThan(200);
    },
    120_000,
  );
});

describe('what compares', () => {
  const note = (t: number, more: Partial<VoiceOn> = {}): VoiceOn => ({
    type: 'on',
    t,
    voice: 1,
    seat: 0,
    note: 40,
    velocity: 60,
    strength: 0.5,
    string: 1,
    fret: 0,
    how: 'pluck',
    ...more,
  });

  it('finds notes that are missing, late or other, and velocities that crept', () => {
    const first = [note(1_000), note(200_000), note(400_000), note(600_000)];
    const last = [
      note(1_001_000, { velocity: 70 }),
      note(1_300_000),
      note(1_400_000, { note: 41 }),
      note(1_649_000, { velocity: 56 }),
    ];
    expect(comparePhrase([first, 0], [last, 1_000_000])).toEqual({
      first: 4,
      last: 4,
      same: 2,
      creep: 3,
      spread: 7,
    });
  });

  it('finds what grows, and lets a start that is higher be', () => {
    expect(growth([1, 2, 3, 4, 5, 6, 7, 8])).toBe(4);
    expect(growth([50, 20, 10, 11, 10, 11, 10, 11])).toBe(0);
    expect(growth([1])).toBe(0);
  });
});
