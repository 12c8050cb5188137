import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { newFinger, press, release, shareAt } from '../../src/demo/finger.js';

describe('a finger', () => {
  it('lands quicker the harder it presses, within 4 to 15 ms', () => {
    const landed = [0, 0.5, 1].map((strength) => {
      const finger = newFinger();
      press(finger, 0, strength);
      const shares = Array.from({ length: 20 }, (_, ms) => shareAt(finger, 1_000 * ms));
      const peak = shareAt(finger, 20_000);
      return shares.findIndex((share) => share >= 0.99 * peak);
    });
    // 2x − x² is within 1 % of its end at 0.9 of its time.
    expect(landed[0]).toBeGreaterThanOrEqual(12);
    expect(landed[0]).toBeLessThanOrEqual(15);
    expect(landed[1]).toBeLessThan(landed[0]!);
    expect(landed[2]).toBeLessThanOrEqual(4);
    expect(landed[2]).toBeGreaterThanOrEqual(3);
  });

  it('is seen by a board of 250 scans a second, also where it is gone at once', () => {
    const finger = newFinger();
    press(finger, 1_000, 0.5);
    release(finger, 1_000);
    const shares = Array.from({ length: 25 }, (_, k) => shareAt(finger, 4_000 * k));
    expect(shares.filter((share) => share > 0.3).length).toBeGreaterThanOrEqual(5);
    expect(shares.at(-1)).toBe(0);
  });

  it('leaves the pad for a moment between two presses that come at once', () => {
    const finger = newFinger();
    for (let i = 0; i < 2; i++) {
      press(finger, 1_000, 0.5);
      release(finger, 1_000);
    }
    const on = Array.from({ length: 50 }, (_, k) => (shareAt(finger, 4_000 * k) > 0 ? '#' : '.'));
    expect(on.join('')).toMatch(/^\.#{7,11}\.{6,10}#{7,11}\.+$/);
  });

  it('presses harder where it lies, without leaving', () => {
    const finger = newFinger();
    press(finger, 0, 0.2);
    const soft = shareAt(finger, 100_000);
    press(finger, 100_000, 0.9);
    const shares = Array.from({ length: 10 }, (_, k) => shareAt(finger, 100_000 + 4_000 * k));
    expect(Math.min(...shares)).toBeGreaterThan(0.95 * soft);
    expect(shares.at(-1)).toBeGreaterThan(1.8 * soft);
  });

  it('stays within a touch, remembers little and ends at rest, whatever is asked of it', () => {
    const step = fc.record({
      wait: fc.integer({ min: 0, max: 60_000 }),
      strength: fc.option(fc.double({ min: -1, max: 2, noNaN: true })),
    });
    fc.assert(
      fc.property(fc.array(step, { maxLength: 60 }), (steps) => {
        const finger = newFinger();
        let t = 0;
        for (const { wait, strength } of steps) {
          t += wait;
          if (strength === null) release(finger, t);
          else press(finger, t, strength);
          const share = shareAt(finger, t);
          expect(share).toBeGreaterThanOrEqual(0);
          expect(share).toBeLessThanOrEqual(1.3);
          expect(finger.wishes.length).toBeLessThanOrEqual(4);
        }
        release(finger, t);
        shareAt(finger, t + 1_000_000);
        expect(shareAt(finger, t + 2_000_000)).toBe(0);
      }),
    );
  });
});
