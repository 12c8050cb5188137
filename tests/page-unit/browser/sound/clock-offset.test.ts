import { describe, expect, it } from 'vitest';
import { ClockOffset } from '../../../../src/page/browser/sound/clock-offset.js';
import { seededNumbers } from '../../../../src/demo/gestures.js';

const WITHIN = 10_000;

/** Feeds pairs of which each came late by `delay`, every 100 ms, and gives the offset after each. */
function follow(
  clock: ClockOffset,
  seconds: number,
  delay: () => number,
  truth: (t: number) => number = () => 1_000,
  from = 0,
): number[] {
  return Array.from({ length: 10 * seconds }, (_, i) => {
    const theirs = 100 * i + from;
    clock.add(theirs, theirs + truth(theirs) + delay());
    return clock.offset;
  });
}
const spread = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);

describe('how far two clocks are apart', () => {
  it('is exact where nothing is late', () => {
    expect(follow(new ClockOffset(WITHIN), 5, () => 0)).toEqual(Array(50).fill(1_000));
  });

  it('is known within 0.3 ms with 2 ms of jitter, and moves by 0.03 ms in 100 ms at most', () => {
    const random = seededNumbers(3);
    const offsets = follow(new ClockOffset(WITHIN), 120, () => 2 * random()).slice(50);
    expect(Math.max(...offsets) - 1_000).toBeLessThan(0.3);
    expect(Math.min(...offsets)).toBeGreaterThanOrEqual(1_000);
    // 300 parts in a million of the 100 ms between two.
    const steps = offsets.slice(1).map((offset, i) => Math.abs(offset - offsets[i]!));
    expect(Math.max(...steps)).toBeLessThanOrEqual(0.031);
    expect(spread(offsets)).toBeLessThan(0.3);
  });

  it.each([100, -100])('follows a clock that drifts by %i in a million', (drift) => {
    const random = seededNumbers(4);
    const truth = (t: number): number => 1_000 + (t * drift) / 1e6;
    const offsets = follow(new ClockOffset(WITHIN), 600, () => 2 * random(), truth);
    const errors = offsets.map((offset, i) => offset - truth(100 * i)).slice(100);
    // It may be behind by the drift of the ten seconds that count.
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(1.4);
    expect(spread(errors)).toBeLessThan(1.4);
  });

  it('is not moved by pairs that come very late', () => {
    const clock = new ClockOffset(WITHIN);
    follow(clock, 5, () => 1);
    const late = follow(clock, 5, () => 400, undefined, 5_000);
    expect(Math.max(...late)).toBe(1_001);
  });

  it('moves at once where the other clock is another one, or a machine slept', () => {
    const clock = new ClockOffset(WITHIN);
    follow(clock, 5, () => 0);
    clock.add(5_000, 5_000 + 400);
    expect(clock.offset).toBe(400);
    // Later by 3 s: it believes so once the earlier pairs count no more.
    expect(
      follow(
        clock,
        15,
        () => 0,
        () => 3_400,
        6_000,
      ).at(-1),
    ).toBe(3_400);
  });

  it('trusts what it knew after a pause, and takes a better one', () => {
    const clock = new ClockOffset(WITHIN);
    follow(clock, 5, () => 0);
    clock.add(65_000, 66_000 + 40);
    expect(clock.offset).toBeLessThan(1_007);
    clock.add(65_100, 66_100);
    expect(clock.offset).toBeGreaterThanOrEqual(1_000);
    expect(clock.offset).toBeLessThan(1_007);
  });

  it('forgets all on a reset', () => {
    const clock = new ClockOffset(WITHIN);
    follow(clock, 5, () => 0);
    clock.reset();
    expect(clock.offset).toBeNaN();
    clock.add(10_000, 99_000);
    expect(clock.offset).toBe(89_000);
  });
});
