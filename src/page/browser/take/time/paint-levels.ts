import { levelOf, layerFor, pointAt, type LevelPyramid } from '../desk/pyramid.js';
import { placed, type Scene } from './paint.js';
import type { Row } from './rows.js';

/** The part of a row that levels from 0 to `TOP` take. */
const DRAWN = 0.9;
const TOP = 1.1;
/** Levels that stay under this are left out: the row's own line stands for them. */
const LEAST = 0.03;

/** How far from the top of the picture a level is. */
function yOf({ top, height }: Row, level: number): number {
  const shown = Math.max(-0.05, Math.min(TOP, level));
  return top + height - 1 - (DRAWN * (height - 2) * shown) / TOP;
}

/** One pad's levels, as an area over its row's line. */
export function paintLevels(pen: CanvasRenderingContext2D, scene: Scene, row: Row): void {
  const pyramid = scene.result.levels[row.pad ?? -1];
  if (!pyramid) return;
  const perPixel = (scene.span.to - scene.span.from) / scene.width;
  pen.save();
  pen.fillStyle = scene.colours.level;
  pen.strokeStyle = scene.colours.level;
  pen.lineWidth = 1.25;
  pen.lineJoin = 'round';
  const layer = layerFor(pyramid, perPixel);
  if (layer) columns(pen, scene, row, layer);
  else curve(pen, scene, row, pyramid);
  pen.restore();
}

/** Many points a pixel: the least and the highest of each. */
function columns(
  pen: CanvasRenderingContext2D,
  { span, width }: Scene,
  row: Row,
  { step, least, most }: LevelPyramid['layers'][number],
): void {
  const perPixel = (span.to - span.from) / width;
  const base = row.top + row.height - 1;
  // The areas first, then the lines: changing what is drawn with costs more than drawing.
  const lines: number[] = [];
  pen.globalAlpha = 0.3;
  for (let x = 0; x < width; x++) {
    const first = Math.max(0, Math.floor((span.from + x * perPixel) / step));
    const stop = Math.min(least.length, Math.ceil((span.from + (x + 1) * perPixel) / step));
    let low = 255;
    let high = 0;
    for (let i = first; i < stop; i++) {
      if (most[i]! === 0) continue;
      if (most[i]! > high) high = most[i]!;
      if (least[i]! < low) low = least[i]!;
    }
    if (high === 0 || levelOf(high) < LEAST) continue;
    const top = yOf(row, levelOf(high));
    const bottom = Math.min(base, yOf(row, Math.max(0, levelOf(low))));
    pen.fillRect(x, top, 1, base - top);
    lines.push(x, top, Math.max(1.25, bottom - top));
  }
  pen.globalAlpha = 1;
  for (let i = 0; i < lines.length; i += 3) {
    pen.fillRect(lines[i]!, lines[i + 1]!, 1, lines[i + 2]!);
  }
}

/** Few points a pixel: the curve itself. */
function curve(pen: CanvasRenderingContext2D, scene: Scene, row: Row, pyramid: LevelPyramid): void {
  const { times, levels } = pyramid;
  const base = row.top + row.height - 1;
  const until = scene.span.to;
  let at = pointAt(pyramid, scene.span.from);
  while (at < times.length && times[at]! <= until) {
    if (Number.isNaN(levels[at]!)) {
      at += 1;
      continue;
    }
    const begin = at;
    const line = new Path2D();
    let high = 0;
    for (; at < times.length && !Number.isNaN(levels[at]!); at++) {
      const [x, level] = [placed(scene, times[at]!), levels[at]!];
      high = Math.max(high, level);
      if (at === begin) line.moveTo(x, yOf(row, level));
      else line.lineTo(x, yOf(row, level));
      if (times[at]! > until) {
        at += 1;
        break;
      }
    }
    if (high < LEAST) continue;
    const area = new Path2D(line);
    area.lineTo(placed(scene, times[at - 1]!), base);
    area.lineTo(placed(scene, times[begin]!), base);
    pen.globalAlpha = 0.3;
    pen.fill(area);
    pen.globalAlpha = 1;
    pen.stroke(line);
  }
}

/** Where a touch begins by the rules of A, dashed, and by those of B where that is elsewhere, dotted. */
export function thresholds(
  pen: CanvasRenderingContext2D,
  { result: { a, b }, width, colours }: Scene,
  row: Row,
): void {
  const one = (level: number, colour: string, dash: number[]): void => {
    pen.strokeStyle = colour;
    pen.setLineDash(dash);
    pen.beginPath();
    pen.moveTo(0, yOf(row, level));
    pen.lineTo(width, yOf(row, level));
    pen.stroke();
  };
  pen.save();
  pen.lineWidth = 1;
  pen.globalAlpha = 0.7;
  one(a.on, colours.soft, [6, 4]);
  if (b.on !== a.on) one(b.on, colours.copper, [1.5, 3]);
  pen.restore();
}
