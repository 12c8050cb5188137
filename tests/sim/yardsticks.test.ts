import { describe, expect, it } from 'vitest';
import { checkScore, spearman } from './check-score.js';
import { GRADE_NAMES } from './grades.js';
import { simulate, type SimSession } from './session.js';
import { TUNES } from './tunes.js';
import { fixedThreshold, toldTheTruth } from './yardsticks.js';

describe('the small scorer', () => {
  it('takes each note once, within 50 ms and at its pitch', () => {
    const wanted = [40, 41, 42].map((note, i) => ({ t: i * 1_000_000, note }));
    const score = checkScore(wanted, [
      { t: 50_000, note: 40 },
      { t: 20_000, note: 40 },
      { t: 1_050_001, note: 41 },
      { t: 2_000_000, note: 43 },
    ]);
    expect(score.pairs).toEqual([[0, 1]]);
    expect([score.missed, score.added]).toEqual([2, 3]);
    expect(score.f).toBeCloseTo(2 / 7, 12);
  });

  it('ranks as Spearman did, ties sharing their rank', () => {
    // The ten pairs of many a textbook: ρ = −29/165 (memory).
    const a = [106, 100, 86, 101, 99, 103, 97, 113, 112, 110];
    const b = [7, 27, 2, 50, 28, 29, 20, 12, 6, 17];
    expect(spearman(a, b)).toBeCloseTo(-29 / 165, 12);
    expect(spearman([1, 2, 3], [10, 20, 900])).toBeCloseTo(1, 12);
    // Ranks 1, 2.5, 2.5, 4 against 1 to 4, by hand: 4.5 / √(4.5 · 5).
    expect(spearman([1, 2, 2, 3], [1, 2, 3, 4])).toBeCloseTo(4.5 / Math.sqrt(22.5), 12);
  });
});

// For scale: one fixed threshold with a perfect calibration is known to reach 0.99, 0.97 and 0.95
// on units of these grades, and somebody told the truth 1.000.
describe.each(GRADE_NAMES)('a %s unit', (grade) => {
  const sessions = TUNES.flatMap((tune) => [1, 2].map((seed) => simulate({ grade, seed }, tune)));
  const f = (play: typeof fixedThreshold, some: SimSession[]): number => {
    const heard = some.map((session) => checkScore(session.wanted, play(session)));
    const total = (key: 'missed' | 'added') => heard.reduce((sum, one) => sum + one[key], 0);
    const right = heard.reduce((sum, one) => sum + one.pairs.length, 0);
    return (2 * right) / (2 * right + total('missed') + total('added'));
  };

  it('is as hard for one fixed threshold as it should be', () => {
    const [low, high] = { clean: [0.98, 0.999], usual: [0.955, 0.99], worst: [0.9, 0.97] }[grade];
    const reached = f(fixedThreshold, sessions);
    expect(reached).toBeGreaterThan(low!);
    expect(reached).toBeLessThan(high!);
  });

  it('can be played by whoever is told the truth', () => {
    expect(f(toldTheTruth, sessions.slice(0, 6))).toBeGreaterThan(
      grade === 'worst' ? 0.995 : 0.9999,
    );
  });
});
