import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  fillColumn,
  makeColumn,
  type Column,
} from '../../../../src/page/browser/seat/levels/columns.js';
import { LevelHistory } from '../../../../src/page/browser/seat/levels/history.js';
import { rows } from './rows.js';

function columnOf(history: LevelHistory, from: number, to: number): Column {
  const column = makeColumn(history.pads);
  fillColumn(history, from, to, column);
  return column;
}

test('shows the lowest and the highest level of its time, that of before included', () => {
  const history = new LevelHistory(1);
  history.add(
    rows([
      [0, 0.1],
      [10, 0.5],
      [20, 0.875],
      [30, 0.25],
    ]),
  );
  const { low, high } = columnOf(history, 10, 30);
  expect(low[0]).toBeCloseTo(0.1);
  expect(high[0]).toBe(0.875);
});

test('a level holds until the next reading', () => {
  const history = new LevelHistory(1);
  history.add(
    rows([
      [0, 0.5],
      [100, 0.25],
    ]),
  );
  expect(columnOf(history, 40, 50)).toMatchObject({ low: { 0: 0.5 }, high: { 0: 0.5 } });
  expect(columnOf(history, 40, 50).touched[0]).toBe(1);
  expect(columnOf(history, 500, 510).high[0]).toBe(0.25);
});

test('nothing is shown before the first reading, over lost ones, and after the unit went away', () => {
  const history = new LevelHistory(1);
  history.add(rows([[1000, 0.5]]));
  history.add(rows([[2000, 0.5]], { lost: 2 }));
  expect(columnOf(history, 0, 1000).high[0]).toBeNaN();
  expect(columnOf(history, 1500, 1600).high[0]).toBeNaN();
  expect(columnOf(history, 2500, 2600).high[0]).toBe(0.5);
  history.interrupt();
  expect(columnOf(history, 2500, 2600).high[0]).toBeNaN();
});

test('a touch that is over is not marked any more in the column after it', () => {
  const history = new LevelHistory(1);
  history.add(
    rows([
      [0, 0.9],
      [10, 0.05],
    ]),
  );
  expect(columnOf(history, 0, 10).touched[0]).toBe(1);
  expect(columnOf(history, 10, 20).touched[0]).toBe(0);
});

test('however time is cut into columns, no peak is missed', () => {
  const levels = fc.array(fc.float({ min: 0, max: 1, noNaN: true }), {
    minLength: 2,
    maxLength: 80,
  });
  fc.assert(
    fc.property(levels, fc.integer({ min: 1, max: 20_000 }), (all, width) => {
      const history = new LevelHistory(1);
      history.add(rows(all.map((level, i) => [i * 4000, level] as const)));
      let peak = -Infinity;
      for (let from = 0; from <= all.length * 4000; from += width) {
        const high = columnOf(history, from, from + width).high[0]!;
        peak = Math.max(peak, Number.isNaN(high) ? -Infinity : high);
      }
      expect(peak).toBe(Math.max(...all));
    }),
  );
});
