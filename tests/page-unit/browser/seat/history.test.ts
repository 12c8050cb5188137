import fc from 'fast-check';
import { expect, test } from 'vitest';
import { LevelHistory } from '../../../../src/page/browser/seat/levels/history.js';
import { rows } from './rows.js';

const kept = (history: LevelHistory): number[] => {
  const times = [];
  for (let row = history.first; row < history.next; row++) times.push(history.time(row));
  return times;
};

test('keeps the latest rows and no more than it holds', () => {
  const history = new LevelHistory(2, 4);
  history.add(rows([1, 2, 3, 4, 5, 6].map((t) => [t * 1000, t / 10, t / 20] as const)));
  expect(kept(history)).toEqual([3000, 4000, 5000, 6000]);
  expect(history.level(history.next - 1, 1)).toBeCloseTo(0.3);
});

test('a touch begins at the one threshold and ends under the other', () => {
  const history = new LevelHistory(1);
  const levels = [0, 0.19, 0.2, 0.15, 0.12, 0.11, 0.19, 0.5];
  history.add(rows(levels.map((level, i) => [i * 4000, level] as const)));
  const touched = levels.map((_, row) => history.touched(row, 0));
  expect(touched).toEqual([false, false, true, true, true, false, false, true]);
});

test('a touch that goes on from one batch to the next goes on, but not over lost rows', () => {
  const history = new LevelHistory(1);
  history.add(rows([[0, 0.9]]));
  history.add(rows([[4000, 0.15]]));
  expect(history.touched(1, 0)).toBe(true);
  history.add(rows([[90_000, 0.15]], { lost: 3 }));
  expect(history.gap(2)).toBe(true);
  expect(history.touched(2, 0)).toBe(false);
});

test('where the service begins again, what was before is let go', () => {
  const history = new LevelHistory(1);
  history.add(
    rows([
      [9_000_000, 0.5],
      [9_004_000, 0.5],
    ]),
  );
  history.add(
    rows([
      [1000, 0.1],
      [5000, 0.1],
    ]),
  );
  expect(kept(history)).toEqual([1000, 5000]);
});

test('rows of an instrument with other pads are left out', () => {
  const history = new LevelHistory(2);
  history.add(rows([[1000, 0.5]]));
  expect(kept(history)).toEqual([]);
});

test('new thresholds are told of once', () => {
  const history = new LevelHistory(1);
  history.add(rows([[0, 0]], { on: 0.25 }));
  const before = history.thresholds;
  history.add(rows([[1, 0]], { on: 0.25 }));
  expect(history.thresholds).toBe(before);
  history.add(rows([[2, 0]], { on: 0.5 }));
  expect(history.thresholds).toBe(before + 1);
  expect(history.on[0]).toBe(0.5);
});

test('finds the first row at a time as a plain search does', () => {
  const steps = fc.array(fc.integer({ min: 0, max: 9000 }), { minLength: 1, maxLength: 60 });
  fc.assert(
    fc.property(steps, fc.integer({ min: -10, max: 500_000 }), (gaps, t) => {
      let at = 0;
      const history = new LevelHistory(1, 32);
      history.add(rows(gaps.map((gap) => [(at += gap), 0] as const)));
      const found = kept(history).findIndex((time) => time >= t);
      expect(history.rowAt(t)).toBe(found < 0 ? history.next : history.first + found);
    }),
  );
});
