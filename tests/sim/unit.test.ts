import { describe, expect, it } from 'vitest';
import { BASS } from '../support/bass.js';
import { DRIFT_WITHIN } from './drift.js';
import { GRADE_NAMES, GRADES } from './grades.js';
import { correlation, mean } from './statistics.js';
import { buildUnit, neighbours, trueBuild } from './unit.js';

const SEEDS = Array.from({ length: 10 }, (_, i) => i + 1);
const every = (name: 'clean' | 'usual' | 'worst') => SEEDS.map((s) => buildUnit(name, s, BASS));

describe('neighbours on the body', () => {
  it('are the next fret, the same fret of the next string, and neighbouring plucks', () => {
    // Counted by hand on four strings by four frets: 4·3 along, 3·4 across, 3 plucks.
    const pairs = neighbours(BASS);
    expect(pairs).toHaveLength(27);
    expect(pairs).toContainEqual([0, 4]);
    expect(pairs).toContainEqual([0, 1]);
    expect(pairs).toContainEqual([16, 17]);
    expect(pairs.some(([a, b]) => (a < 16 && b >= 16) || Math.abs(a - b) === 5)).toBe(false);
  });
});

describe.each(GRADE_NAMES)('a %s unit', (name) => {
  const grade = GRADES[name];
  const units = every(name);

  it('has spans, noise, hum and rests all over their ranges', () => {
    for (const [key, range] of [
      ['span', grade.span],
      ['sigma', grade.sigma],
      ['hum', grade.hum],
      ['rest', [700, 2500]],
    ] as const) {
      const values = units.flatMap((unit) => unit[key]);
      const [low, high] = range;
      expect(values).toHaveLength(200);
      expect(Math.min(...values)).toBeGreaterThanOrEqual(low);
      expect(Math.max(...values)).toBeLessThanOrEqual(high);
      // Even over the range: its middle within four standard errors of the middle of 200 values.
      const error = (high - low) / Math.sqrt(12 * 200);
      expect(Math.abs(mean(values) - (low + high) / 2)).toBeLessThanOrEqual(4 * error);
    }
  });

  it('couples neighbours both ways, and nothing else, by the shares asked for', () => {
    for (const { coupling } of units) {
      const listed = coupling.flatMap((list, pad) => list.map(({ from }) => `${from}>${pad}`));
      const pairs = neighbours(BASS).flatMap(([a, b]) => [`${a}>${b}`, `${b}>${a}`]);
      expect([...listed].sort()).toEqual(grade.coupling[1] === 0 ? [] : [...pairs].sort());
      for (const { share } of coupling.flat()) {
        expect(share).toBeGreaterThanOrEqual(grade.coupling[0]);
        expect(share).toBeLessThanOrEqual(grade.coupling[1]);
      }
    }
  });

  it('drifts as far in two minutes as asked, off a straight line, each pad its own way', () => {
    const seconds = Array.from({ length: 241 }, (_, k) => (k * DRIFT_WITHIN) / 240);
    for (const { drift, span } of units) {
      drift.forEach((one, pad) => {
        const furthest = Math.max(...seconds.map((t) => Math.abs(one(t))));
        expect(one(0)).toBeCloseTo(0, 9);
        expect(furthest).toBeCloseTo(grade.drift * span[pad]!, 6);
      });
      if (grade.drift === 0) continue;
      const bent = drift.filter((one) => Math.abs(correlation(seconds, seconds.map(one))) < 0.99);
      expect(bent.length).toBeGreaterThan(15);
      const half = drift.map((one, pad) => one(DRIFT_WITHIN / 2) / span[pad]!);
      expect(new Set(half.map((share) => share.toFixed(4))).size).toBeGreaterThan(15);
      // Slow: under a twelfth of the whole way within any half second.
      for (const one of drift) {
        const all = seconds.map(one);
        const most = Math.max(...all.map(Math.abs));
        for (let k = 1; k < all.length; k++) {
          expect(Math.abs(all[k]! - all[k - 1]!)).toBeLessThan(0.08 * most);
        }
      }
    }
  });

  it('stays within three times its drift for ten minutes and a calibration', () => {
    for (const { drift, span } of units) {
      drift.forEach((one, pad) => {
        for (let t = 0; t <= 700; t += 5) {
          expect(Math.abs(one(t))).toBeLessThanOrEqual(3 * grade.drift * span[pad]!);
        }
      });
    }
  });

  it('has its wires in any order, or straight where asked', () => {
    for (const { wiring } of units) {
      expect([...wiring].sort((a, b) => a - b)).toEqual(Array.from({ length: 20 }, (_, i) => i));
    }
    expect(new Set(units.map(({ wiring }) => wiring.join(' '))).size).toBe(SEEDS.length);
    const straight = buildUnit(name, 1, BASS, { straight: true });
    expect(straight.wiring).toEqual(Array.from({ length: 20 }, (_, i) => i));
    expect(straight.span).toEqual(units[0]!.span);
  });

  it('is the same for the same seed, and tells its truth', () => {
    const again = buildUnit(name, 3, BASS);
    const { drift, ...rest } = units[2]!;
    const { drift: drifts, ...others } = again;
    expect(others).toEqual(rest);
    expect(drifts.map((one) => one(77))).toEqual(drift.map((one) => one(77)));
    const { pads, wiring } = trueBuild(again, 30);
    expect(wiring).toEqual(again.wiring);
    expect(pads[5]!.rest).toBeCloseTo(again.rest[5]! + again.drift[5]!(30), 9);
    expect(pads[5]!.span).toBe(again.span[5]);
  });
});

it('shares of a touch grow with the span of the pad on which they show', () => {
  const counts = buildUnit('usual', 1, BASS);
  const touch = buildUnit('usual', 1, BASS, { shareOf: 'touch' });
  touch.coupling.forEach((list, pad) => {
    list.forEach(({ from, share }, i) => {
      const before = counts.coupling[pad]![i]!.share;
      expect((share * touch.span[from]!) / touch.span[pad]!).toBeCloseTo(before, 12);
    });
  });
});
