import type { HistoryFrame } from '../../../link/history-frame.js';

/** Ten seconds of a board that scans a thousand times a second. */
const CAPACITY = 10_240;

/**
 * The last seconds of one seat's levels, row by row, in a ring that never grows. Rows are numbered
 * from 0 as they come; those from `first` until before `next` are still here.
 */
export class LevelHistory {
  first = 0;
  next = 0;
  /** By pad, the level at which a touch begins, and the lower one at which it may end. */
  on: Float32Array;
  off: Float32Array;
  /** Counts up with each change of the thresholds. */
  thresholds = 0;
  /** True where nothing is to be drawn behind the newest row: the unit went away. */
  ended = false;
  private readonly times: Float64Array;
  private readonly levels: Float32Array;
  private readonly touches: Uint8Array;
  private readonly gaps: Uint8Array;
  private gapNext = false;

  /** @param capacity how many rows it holds */
  constructor(
    readonly pads: number,
    private readonly capacity = CAPACITY,
  ) {
    this.on = new Float32Array(pads).fill(1);
    this.off = new Float32Array(pads).fill(1);
    this.times = new Float64Array(capacity);
    this.levels = new Float32Array(capacity * pads);
    this.touches = new Uint8Array(capacity * pads);
    this.gaps = new Uint8Array(capacity);
  }

  /** Adds rows. Where time falls, the service has begun again, and what was here is let go. */
  add(rows: HistoryFrame): void {
    if (rows.on.length !== this.pads) return;
    this.learn(rows);
    if (rows.lost > 0) this.gapNext = true;
    for (let row = 0; row < rows.times.length; row++) {
      const t = rows.times[row]!;
      if (this.next > this.first && t < this.time(this.next - 1)) this.clear();
      this.put(t, rows.levels, row * this.pads);
    }
  }

  /** What comes next does not join on to what is here. */
  interrupt(): void {
    this.gapNext = true;
    this.ended = true;
  }

  clear(): void {
    this.first = this.next;
    this.gapNext = false;
    this.ended = false;
  }

  time(row: number): number {
    return this.times[row % this.capacity]!;
  }

  level(row: number, pad: number): number {
    return this.levels[(row % this.capacity) * this.pads + pad]!;
  }

  /** Whether the pad is touched: it has passed `on`, and not been under `off` since. */
  touched(row: number, pad: number): boolean {
    return this.touches[(row % this.capacity) * this.pads + pad] === 1;
  }

  /** Whether rows are missing before this one. */
  gap(row: number): boolean {
    return this.gaps[row % this.capacity] === 1;
  }

  /** The first row at `t` or later; `next` where there is none. */
  rowAt(t: number): number {
    let low = this.first;
    let high = this.next;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.time(middle) < t) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  private learn({ on, off }: HistoryFrame): void {
    const same = on.every((level, pad) => level === this.on[pad] && off[pad] === this.off[pad]);
    if (same) return;
    this.on = on.slice();
    this.off = off.slice();
    this.thresholds += 1;
  }

  private put(t: number, levels: Float32Array, from: number): void {
    const slot = (this.next % this.capacity) * this.pads;
    const before = this.next > this.first && !this.gapNext ? this.next - 1 : null;
    for (let pad = 0; pad < this.pads; pad++) {
      const level = levels[from + pad]!;
      const was = before !== null && this.touched(before, pad);
      this.levels[slot + pad] = level;
      this.touches[slot + pad] = level >= (was ? this.off[pad]! : this.on[pad]!) ? 1 : 0;
    }
    this.times[this.next % this.capacity] = t;
    this.gaps[this.next % this.capacity] = this.gapNext ? 1 : 0;
    this.gapNext = false;
    this.ended = false;
    this.next += 1;
    if (this.next - this.first > this.capacity) this.first = this.next - this.capacity;
  }
}
