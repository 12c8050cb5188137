import type { Window } from '../../../../compare/run.js';
import { SECOND, type Micros } from '../../../../time/micros.js';
import type { Result } from '../desk/messages.js';
import type { Boxes } from './boxes.js';
import type { Colours } from './colours.js';
import { paintBoxes } from './paint-boxes.js';
import { paintLevels, thresholds } from './paint-levels.js';
import type { Layout } from './rows.js';
import { tickSeconds } from './span.js';

/** What a picture is made of. */
export interface Scene {
  readonly result: Result;
  readonly layout: Layout;
  readonly boxes: Boxes;
  readonly span: Window;
  /** In CSS pixels. */
  readonly width: number;
  readonly rem: number;
  readonly colours: Colours;
  readonly font: string;
  readonly pitch: (note: number) => string;
  /** The number of the difference that is looked at; 0: none. */
  readonly current: number;
  readonly cursor: { readonly t: Micros; readonly row: number } | null;
  /** What is heard just now; null: nothing is played. */
  readonly heard: Micros | null;
  readonly seconds: (seconds: number, digits: number) => string;
}

/** Where a time is, in CSS pixels from the left. */
export const placed = ({ span, width }: Pick<Scene, 'span' | 'width'>, t: Micros): number =>
  ((t - span.from) / (span.to - span.from)) * width;

/** Draws all of it again. */
export function paint(pen: CanvasRenderingContext2D, scene: Scene): void {
  const { layout, width, colours, cursor, heard } = scene;
  pen.fillStyle = colours.raised;
  pen.fillRect(0, 0, width, layout.height);
  paintRuler(pen, scene);
  if (cursor) {
    const row = layout.rows[cursor.row];
    pen.fillStyle = colours.sunk;
    if (row) pen.fillRect(0, row.top, width, row.height);
  }
  for (const group of layout.groups) {
    for (const row of group.rows) {
      line(pen, colours.line, 0.25, () => {
        const y = Math.round(row.top + row.height) - 0.5;
        pen.moveTo(0, y);
        pen.lineTo(width, y);
      });
      if (row.kind === 'pad') {
        paintLevels(pen, scene, row);
        thresholds(pen, scene, row);
      } else paintBoxes(pen, scene, row);
    }
    line(pen, colours.line, 1, () => {
      const y = Math.round(group.top + group.height) - 1.5;
      pen.moveTo(0, y);
      pen.lineTo(width, y);
    });
  }
  if (cursor) upright(pen, scene, cursor.t, colours.focus, []);
  if (heard !== null) upright(pen, scene, heard, colours.strong, [6, 3]);
}

function line(
  pen: CanvasRenderingContext2D,
  colour: string,
  alpha: number,
  path: () => void,
): void {
  pen.save();
  pen.globalAlpha = alpha;
  pen.strokeStyle = colour;
  pen.lineWidth = 1;
  pen.beginPath();
  path();
  pen.stroke();
  pen.restore();
}

function upright(
  pen: CanvasRenderingContext2D,
  scene: Scene,
  t: Micros,
  colour: string,
  dash: number[],
): void {
  const x = placed(scene, t);
  if (x < -2 || x > scene.width + 2) return;
  pen.save();
  pen.strokeStyle = colour;
  pen.fillStyle = colour;
  pen.lineWidth = 2;
  pen.setLineDash(dash);
  pen.beginPath();
  pen.moveTo(x, 0);
  pen.lineTo(x, scene.layout.height);
  pen.stroke();
  // A flag at the top tells the two lines apart by their shape.
  pen.beginPath();
  pen.moveTo(x, 0);
  pen.lineTo(x + (dash.length > 0 ? 9 : 6), dash.length > 0 ? 5 : 0);
  pen.lineTo(x, 10);
  if (dash.length === 0) pen.lineTo(x - 6, 0);
  pen.fill();
  pen.restore();
}

function paintRuler(pen: CanvasRenderingContext2D, scene: Scene): void {
  const { span, width, rem, colours, layout, seconds } = scene;
  const step = tickSeconds(span, width, 4.5 * rem);
  const digits = step >= 1 ? 0 : Math.ceil(-Math.log10(step) - 1e-9);
  pen.fillStyle = colours.soft;
  pen.font = scene.font;
  pen.textBaseline = 'top';
  const first = Math.ceil(span.from / SECOND / step);
  for (let i = first; i * step * SECOND <= span.to; i++) {
    const x = placed(scene, i * step * SECOND);
    line(pen, colours.line, 0.35, () => {
      pen.moveTo(Math.round(x) + 0.5, 0);
      pen.lineTo(Math.round(x) + 0.5, layout.height);
    });
    pen.fillText(seconds(i * step, digits), x + 4, 0.25 * rem);
  }
}
