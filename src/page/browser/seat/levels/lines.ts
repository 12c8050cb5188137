import type { LevelHistory } from './history.js';
import { heightOf, type StripSize } from './strips.js';

/** Where a touch begins is long dashes; where it may end, dots. In CSS pixels. */
export const BEGIN_DASH: readonly number[] = [10, 5];
export const END_DASH: readonly number[] = [2, 4];

export interface LineColours {
  readonly line: string;
  readonly grid: string;
}

/** Draws what stays as time goes by: the pads' borders, the seconds, and the two thresholds of each pad. */
export function drawLines(
  context: CanvasRenderingContext2D,
  history: LevelHistory,
  order: readonly number[],
  size: StripSize,
  seconds: number,
  colours: LineColours,
): void {
  const { width, strip, ratio } = size;
  const line = (y: number, dash: readonly number[]): void => {
    context.setLineDash(dash.map((length) => length * ratio));
    context.beginPath();
    context.moveTo(0, y);
    context.lineTo(width, y);
    context.stroke();
  };
  context.clearRect(0, 0, width, strip * order.length);
  context.lineWidth = Math.max(1, Math.round(ratio));
  context.strokeStyle = colours.grid;
  context.setLineDash([]);
  context.beginPath();
  for (let second = 1; second < seconds; second++) {
    const x = Math.round((width * second) / seconds) + 0.5;
    context.moveTo(x, 0);
    context.lineTo(x, strip * order.length);
  }
  context.stroke();
  for (const [i, pad] of order.entries()) {
    const bottom = (i + 1) * strip;
    context.strokeStyle = colours.grid;
    line(bottom - 0.5, []);
    context.strokeStyle = colours.line;
    line(Math.round(bottom - heightOf(history.on[pad]!, size)) + 0.5, BEGIN_DASH);
    line(Math.round(bottom - heightOf(history.off[pad]!, size)) + 0.5, END_DASH);
  }
}
