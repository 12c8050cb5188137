import { describe, expect, it } from 'vitest';
import { randomOf } from './random.js';
import { correlation, deviation, mean } from './statistics.js';

const MANY = 40_000;

function draw(seed: number, label: string, what: 'next' | 'gauss'): number[] {
  const random = randomOf(seed, label);
  return Array.from({ length: MANY }, () => random[what]());
}

// Limits are four standard errors of each statistic (textbook: σ/√n for a mean, σ/√2n for a deviation).
describe('seeded numbers', () => {
  it('are even from 0 to 1: mean 1/2, deviation 1/√12', () => {
    const values = draw(1, 'a', 'next');
    expect(Math.abs(mean(values) - 0.5)).toBeLessThan((4 * Math.sqrt(1 / 12)) / Math.sqrt(MANY));
    expect(deviation(values)).toBeCloseTo(Math.sqrt(1 / 12), 2);
    expect(Math.min(...values)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...values)).toBeLessThan(1);
  });

  it('are normal: mean 0, deviation 1, 4.55 % beyond two deviations', () => {
    const values = draw(2, 'a', 'gauss');
    expect(Math.abs(mean(values))).toBeLessThan(4 / Math.sqrt(MANY));
    expect(Math.abs(deviation(values) - 1)).toBeLessThan(4 / Math.sqrt(2 * MANY));
    const beyond = values.filter((value) => Math.abs(value) > 2).length / MANY;
    expect(Math.abs(beyond - 0.0455)).toBeLessThan(4 * Math.sqrt((0.0455 * 0.9545) / MANY));
  });

  it('are the same for the same seed and label, and unrelated for others and from draw to draw', () => {
    const one = draw(3, 'noise', 'gauss');
    expect(draw(3, 'noise', 'gauss')).toEqual(one);
    for (const other of [draw(4, 'noise', 'gauss'), draw(3, 'noises', 'gauss')]) {
      expect(Math.abs(correlation(one, other))).toBeLessThan(4 / Math.sqrt(MANY));
    }
    expect(Math.abs(correlation(one.slice(1), one.slice(0, -1)))).toBeLessThan(4 / Math.sqrt(MANY));
  });

  it('shuffle without losing any', () => {
    const list = Array.from({ length: 20 }, (_, i) => i);
    const shuffled = randomOf(5, 'order').shuffled(list);
    expect(shuffled).not.toEqual(list);
    expect([...shuffled].sort((a, b) => a - b)).toEqual(list);
  });
});
