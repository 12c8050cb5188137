import { describe, expect, it } from 'vitest';
import { bounced, goneAt, landingOf, touchedShare, type Contact } from './contact.js';
import { randomOf } from './random.js';
import { correlation, mean } from './statistics.js';

const TOUCH: Contact = {
  kind: 'pluck',
  pad: 16,
  at: 100_000,
  until: 200_000,
  peak: 0.8,
  landing: 8_000,
  leaving: 6_000,
  wobble: { hz: 5, depth: 0.04 },
  losses: [],
};

describe('a touch', () => {
  it('is nothing before and after, rises to its peak while landing, and falls while leaving', () => {
    expect(touchedShare(TOUCH, 100_000)).toBe(0);
    expect(touchedShare(TOUCH, 206_000)).toBe(0);
    expect(touchedShare(TOUCH, 108_000)).toBeCloseTo(0.8, 12);
    // Half way in time, a finger that is slowed down evenly has gone three quarters: 2x − x².
    expect(touchedShare(TOUCH, 104_000)).toBeCloseTo(0.6, 12);
    for (let t = 100_000; t < 108_000; t += 500) {
      expect(touchedShare(TOUCH, t + 500)).toBeGreaterThan(touchedShare(TOUCH, t));
    }
    for (let t = 200_000; t < 206_000; t += 500) {
      expect(touchedShare(TOUCH, t + 500)).toBeLessThan(touchedShare(TOUCH, t));
    }
    expect(goneAt(TOUCH)).toBe(206_000);
  });

  it('wobbles about its peak by the depth asked for', () => {
    const plateau = Array.from({ length: 90 }, (_, k) => touchedShare(TOUCH, 108_000 + 1_000 * k));
    expect(Math.max(...plateau)).toBeLessThanOrEqual(0.8 * 1.04 + 1e-12);
    expect(Math.min(...plateau)).toBeGreaterThanOrEqual(0.8 * 0.96 - 1e-12);
    expect(Math.max(...plateau) - Math.min(...plateau)).toBeGreaterThan(0.02);
  });

  it('lands in 4 to 15 ms, the harder the faster', () => {
    const random = randomOf(1, 'landing');
    const strengths = Array.from({ length: 2_000 }, () => random.between(0.3, 1));
    const times = strengths.map((strength) => landingOf(strength, random));
    expect(Math.min(...times)).toBeGreaterThanOrEqual(4_000);
    expect(Math.max(...times)).toBeLessThanOrEqual(15_000);
    expect(correlation(strengths, times)).toBeLessThan(-0.9);
  });
});

describe('bounces', () => {
  const random = randomOf(2, 'bounce');
  const all = Array.from({ length: 4_000 }, () => bounced(TOUCH, 0.4, random));

  it('come in the share of touches asked for', () => {
    const share = mean(all.map(({ losses }) => (losses.length > 0 ? 1 : 0)));
    expect(Math.abs(share - 0.4)).toBeLessThan(4 * Math.sqrt((0.4 * 0.6) / 4_000));
    expect(bounced(TOUCH, 0, random).losses).toEqual([]);
    expect(bounced(TOUCH, 1, random).losses).not.toEqual([]);
  });

  it('lose contact for 4 to 12 ms, 5 to 15 ms after the onset or before the end', () => {
    const onset = all.flatMap(({ losses }) => losses.filter(({ from }) => from < 150_000));
    const end = all.flatMap(({ losses }) => losses.filter(({ from }) => from >= 150_000));
    expect(onset.length).toBeGreaterThan(2 * end.length);
    expect(end.length).toBeGreaterThan(200);
    for (const { from, to } of [...onset, ...end]) {
      expect(to - from).toBeGreaterThanOrEqual(4_000);
      expect(to - from).toBeLessThanOrEqual(12_000);
      const middle = { ...TOUCH, losses: [{ from, to }] };
      expect(touchedShare(middle, (from + to) / 2)).toBe(0);
    }
    for (const { from } of onset) {
      expect(from - TOUCH.at).toBeGreaterThanOrEqual(5_000);
      expect(from - TOUCH.at).toBeLessThanOrEqual(15_000);
    }
    for (const { to } of end) {
      expect(TOUCH.until - to).toBeGreaterThanOrEqual(5_000);
      expect(TOUCH.until - to).toBeLessThanOrEqual(15_000);
    }
  });
});
