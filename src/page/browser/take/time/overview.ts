import { isAnotherNote } from '../../../../compare/compare.js';
import { begin } from '../../../../compare/match.js';
import type { Numbered, Window } from '../../../../compare/run.js';
import type { Micros } from '../../../../time/micros.js';
import type { Result } from '../desk/messages.js';
import type { Colours } from './colours.js';
import { endOf } from './span.js';

/** The whole take in one line: notes as short strokes, what differs under them, and what is shown. */
export interface OverviewScene {
  readonly result: Result;
  readonly numbered: readonly Numbered[];
  readonly span: Window;
  readonly width: number;
  readonly height: number;
  readonly colours: Colours;
  readonly heard: Micros | null;
}

export function paintOverview(pen: CanvasRenderingContext2D, scene: OverviewScene): void {
  const { result, numbered, span, width, height, colours, heard } = scene;
  const end = endOf(result.length);
  const at = (t: Micros): number => (t / end) * width;
  pen.fillStyle = colours.sunk;
  pen.fillRect(0, 0, width, height);
  const places = Math.max(1, ...numbered.map(({ one }) => (one.a ?? one.b).string + 1));
  const upper = height * 0.55;
  pen.fillStyle = colours.level;
  for (const { one } of numbered) {
    const note = one.a ?? one.b;
    const y = 3 + ((upper - 6) * note.string) / places;
    const wide = Math.max(1.5, at(note.offset) - at(note.onset));
    pen.fillRect(at(note.onset), y, wide, Math.max(2, (upper - 6) / places - 1));
  }
  for (const { one, number } of numbered) {
    if (number === 0) continue;
    const x = at(begin(one));
    // What everybody hears reaches up; what is only earlier, louder or longer is a short stroke.
    const tall = isAnotherNote(one);
    pen.fillStyle = tall ? colours.strong : colours.soft;
    pen.fillRect(x, tall ? upper : height - 6, tall ? 2 : 1.25, tall ? height - upper : 6);
  }
  pen.lineWidth = 2;
  pen.strokeStyle = colours.ink;
  const left = at(span.from);
  const wide = Math.max(6, at(span.to) - left);
  pen.strokeRect(left + 1, 1, wide - 2, height - 2);
  pen.globalAlpha = 0.45;
  pen.fillStyle = colours.card;
  pen.fillRect(0, 0, left, height);
  pen.fillRect(left + wide, 0, width, height);
  pen.globalAlpha = 1;
  if (heard === null) return;
  pen.fillStyle = colours.strong;
  pen.fillRect(at(heard), 0, 2, height);
}
