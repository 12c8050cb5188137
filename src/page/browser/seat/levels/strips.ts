import { fillColumn, makeColumn, type Column } from './columns.js';
import type { LevelHistory } from './history.js';

/** Sizes in device pixels. */
export interface StripSize {
  readonly width: number;
  /** Of one pad's strip. */
  readonly strip: number;
  /** How many device pixels a CSS pixel has. */
  readonly ratio: number;
}

export interface StripColours {
  readonly line: string;
  readonly rest: string;
  readonly touched: string;
  readonly mark: string;
}

/** The level at the top of a strip: a little more than a full touch. */
const TOP = 1.15;
/** Low levels are drawn larger than high ones: the thresholds lie low, and close to each other. */
const BEND = 0.6;

/** How far above a strip's lower end a level is, in device pixels; the mark of a touch lies below it. */
export function heightOf(level: number, { strip, ratio }: StripSize): number {
  const share = Math.min(1, Math.max(0, level / TOP)) ** BEND;
  return markOf(ratio) + share * (strip - markOf(ratio) - 2 * ratio);
}

function markOf(ratio: number): number {
  return Math.round(5 * ratio);
}

/**
 * Draws the strips into a picture of its own that goes round: the column of a time is always at the
 * same place, so that each is drawn once, and a frame costs two copies however much is seen.
 */
export class Strips {
  private readonly context: CanvasRenderingContext2D;
  private readonly column: Column;
  /** Columns before this one are drawn; counted from time 0. */
  private drawn = -1;
  /** The column after the last one that is seen. */
  private shown = NaN;
  /** Rows before this one are in what is drawn. */
  private seen = 0;

  /**
   * @param order the pads from top to bottom
   * @param span how much time the width shows, in µs
   */
  constructor(
    private readonly history: LevelHistory,
    private readonly order: readonly number[],
    readonly size: StripSize,
    private readonly span: number,
    private readonly colours: StripColours,
  ) {
    const canvas = document.createElement('canvas');
    canvas.width = size.width;
    canvas.height = size.strip * order.length;
    this.context = canvas.getContext('2d')!;
    this.column = makeColumn(history.pads);
  }

  /** Draws what is seen when `t` (µs) is at the right edge. */
  show(t: number, to: CanvasRenderingContext2D): void {
    const { width } = this.size;
    const end = Math.floor((t / this.span) * width);
    this.drawn = Math.min(this.drawn, this.newFrom());
    // A clock that goes back a little shows what is there; one that jumps begins again.
    if (this.drawn < end - width || this.drawn > end + width) this.drawn = end - width;
    // Nothing has moved by a pixel: it is there already.
    if (this.drawn === end && this.shown === end) return;
    for (; this.drawn < end; this.drawn++) this.draw(this.drawn);
    this.shown = end;
    const { canvas } = this.context;
    const edge = ((end % width) + width) % width;
    to.clearRect(0, 0, width, canvas.height);
    const older = width - edge;
    if (older > 0) to.drawImage(canvas, edge, 0, older, canvas.height, 0, 0, older, canvas.height);
    if (edge > 0) to.drawImage(canvas, 0, 0, edge, canvas.height, older, 0, edge, canvas.height);
  }

  /** The column of the first new row: one that came late changes what was drawn in its place. */
  private newFrom(): number {
    const { history, seen } = this;
    this.seen = history.next;
    if (seen >= history.next) return Infinity;
    return Math.floor((history.time(Math.max(seen, history.first)) / this.span) * this.size.width);
  }

  private draw(column: number): void {
    const { width } = this.size;
    const each = this.span / width;
    fillColumn(this.history, column * each, (column + 1) * each, this.column);
    const x = ((column % width) + width) % width;
    this.context.clearRect(x, 0, 1, this.context.canvas.height);
    this.fills(x, 0, this.colours.rest);
    this.fills(x, 1, this.colours.touched);
    this.traces(x);
    this.marks(x);
  }

  private fills(x: number, touched: 0 | 1, colour: string): void {
    const { context, column, size } = this;
    const foot = markOf(size.ratio);
    context.fillStyle = colour;
    for (const [i, pad] of this.order.entries()) {
      const high = column.high[pad]!;
      if (column.touched[pad] !== touched || !(high > 0)) continue;
      const bottom = (i + 1) * size.strip;
      const top = heightOf(high, size);
      context.fillRect(x, bottom - top, 1, top - foot);
    }
  }

  private traces(x: number): void {
    const { context, column, size } = this;
    const thick = 1.5 * size.ratio;
    context.fillStyle = this.colours.line;
    for (const [i, pad] of this.order.entries()) {
      const high = column.high[pad]!;
      if (Number.isNaN(high)) continue;
      const bottom = (i + 1) * size.strip;
      const top = heightOf(high, size);
      const tall = Math.max(thick, top - heightOf(column.low[pad]!, size));
      context.fillRect(x, bottom - top, 1, tall);
    }
  }

  private marks(x: number): void {
    const { context, column, size } = this;
    const tall = markOf(size.ratio) - Math.round(size.ratio);
    context.fillStyle = this.colours.mark;
    for (const [i, pad] of this.order.entries()) {
      if (column.touched[pad] === 1) context.fillRect(x, (i + 1) * size.strip - tall, 1, tall);
    }
  }
}
