import type { LevelHistory } from './history.js';

/** What one column of pixels shows of each pad. */
export interface Column {
  /** By pad: the lowest and the highest level, NaN where nothing is known. */
  readonly low: Float32Array;
  readonly high: Float32Array;
  /** By pad: 1 where it was touched at any time. */
  readonly touched: Uint8Array;
}

export function makeColumn(pads: number): Column {
  return {
    low: new Float32Array(pads),
    high: new Float32Array(pads),
    touched: new Uint8Array(pads),
  };
}

/**
 * Fills in the column of the times from `from` until before `to` (µs). A level holds until the next
 * reading, so that a column without one shows that of before; where readings were lost, it shows none.
 */
export function fillColumn(history: LevelHistory, from: number, to: number, into: Column): void {
  const begin = history.rowAt(from);
  const end = history.rowAt(to);
  const joined = begin > history.first && !brokenAt(history, begin);
  const start = joined ? begin - 1 : begin;
  into.low.fill(NaN);
  into.high.fill(NaN);
  into.touched.fill(0);
  for (let row = start; row < end; row++) {
    for (let pad = 0; pad < history.pads; pad++) {
      const level = history.level(row, pad);
      if (!(into.low[pad]! <= level)) into.low[pad] = level;
      if (!(into.high[pad]! >= level)) into.high[pad] = level;
      // A touch that ended with the reading before is over.
      if ((row >= begin || end === begin) && history.touched(row, pad)) into.touched[pad] = 1;
    }
  }
}

/** Whether what was before `row` ends there: rows are missing, or nothing comes any more. */
function brokenAt(history: LevelHistory, row: number): boolean {
  return row < history.next ? history.gap(row) : history.ended;
}
