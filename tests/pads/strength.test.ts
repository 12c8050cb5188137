import { describe, expect, it } from 'vitest';
import { reachOf } from '../../src/pads/strength.js';

/**
 * A finger that is slowed down evenly is at 2x − x² of its way at the share x of its time (textbook
 * motion); a pluck lands in 4 to 15 ms, a hard one sooner than a soft one (memory). Times are ms.
 */
const level = (peak: number, landing: number, since: number): number => {
  const x = Math.min(1, Math.max(0, since / landing));
  return peak * x * (2 - x);
};
const landingOf = (peak: number): number => 15 - (11 * (peak - 0.3)) / 0.7;
/** What readings 4 ms apart show, the first one over the threshold `after` ms after the contact. */
function reached(peak: number, landing: number, after: number): number {
  const at = (since: number): number => level(peak, landing, since);
  return reachOf(at(after - 4), [at(after), at(after + 4)]);
}

const PEAKS = [0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1];
/** When a scan may meet a pluck first: from where it is over the threshold, 0.2, for a scan's time. */
function meetings(peak: number, landing: number): number[] {
  let first = 0;
  while (level(peak, landing, first) < 0.2) first += 0.1;
  return Array.from({ length: 16 }, (_, i) => first + i / 4).map((t) => Math.max(0.25, t));
}
const mean = (values: number[]): number => values.reduce((a, b) => a + b, 0) / values.length;

describe('the level that a touch reaches', () => {
  it('is told from two readings to 0.07 at the mean, wherever a scan meets the pluck', () => {
    for (const peak of PEAKS) {
      const errors = meetings(peak, landingOf(peak)).map(
        (after) => reached(peak, landingOf(peak), after) - peak,
      );
      expect(mean(errors.map((error) => Math.abs(error)))).toBeLessThan(0.07);
    }
  });

  it('ranks with the strength on the mean, for landings that take as long however hard, too', () => {
    for (const landing of [landingOf, () => 6, () => 8, () => 11]) {
      const told = PEAKS.map((peak) =>
        mean(meetings(peak, landing(peak)).map((after) => reached(peak, landing(peak), after))),
      );
      expect(told).toEqual([...told].sort((a, b) => a - b));
    }
  });

  it('is what both readings are where they are alike: that finger has landed', () => {
    for (const peak of PEAKS) expect(reachOf(0, [peak, peak])).toBeCloseTo(peak, 9);
  });

  it('is lower for a finger that shows earlier or is met halfway, with the same last reading', () => {
    expect(reachOf(0.15, [0.4, 0.6])).toBeLessThan(reachOf(0, [0.4, 0.6]));
    expect(reachOf(0, [0.35, 0.7])).toBeLessThan(reachOf(0, [0.69, 0.7]));
  });

  it('is a guess from the first reading where the second has lost contact', () => {
    // A first reading near the threshold may be any touch's: between it and what touches usually reach.
    expect(reachOf(0, [0.25, 0])).toBeGreaterThan(0.4);
    expect(reachOf(0, [0.25, 0])).toBeLessThan(0.6);
    expect(reachOf(0, [0.9, 0])).toBeGreaterThan(0.9);
  });

  it('is the highest of more readings, and the only one of one', () => {
    expect(reachOf(0, [0.3, 0.8, 0.7])).toBe(0.8);
    expect(reachOf(0, [0.3])).toBe(0.3);
  });
});
