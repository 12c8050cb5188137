import { batch } from '@preact/signals';
import { begin, string } from '../../../../compare/match.js';
import type { Numbered } from '../../../../compare/run.js';
import type { Micros } from '../../../../time/micros.js';
import type { Texts } from '../../texts/en.js';
import type { Result } from '../desk/messages.js';
import type { Question } from '../explaining.js';
import type { Looking } from '../looking.js';
import type { TakeModel } from '../model.js';
import { toldCursor, toldDifference } from '../telling.js';
import { boxAt, type Boxes } from './boxes.js';
import type { Acts } from './keys.js';
import { rowAt, type Layout } from './rows.js';
import { endOf, moved, showing, within, zoomed } from './span.js';

interface Parts {
  readonly model: TakeModel;
  readonly looking: Looking;
  readonly result: Result;
  readonly layout: Layout;
  readonly boxes: Boxes;
  readonly texts: Texts;
  readonly onAsk: (question: Question) => void;
}

/** What a person can do with the picture, by buttons, keys, fingers or mouse. */
export interface ViewActs extends Acts {
  /** `at`: the share of the width that stays where it is; left out: the line, else the middle. */
  zoom(factor: number, at?: number): void;
  whole(): void;
  /** Shows a difference, with the line where it begins. */
  goTo(found: Numbered): void;
  /** Pressed on a place: `at` is a share of the width, `y` in CSS pixels. */
  tap(at: number, y: number): void;
}

/** The line moves by this share of what is shown. */
const STEP = 1 / 50;

export function actsOn({ model, looking, result, layout, boxes, texts, onAsk }: Parts): ViewActs {
  const { span } = model;
  const { length } = result;
  const { cursor, current, told } = looking;
  const timeAt = (share: number): Micros => {
    const { from, to } = span.peek();
    return from + share * (to - from);
  };
  const isSeen = (t: Micros): boolean => t >= span.peek().from && t <= span.peek().to;

  const put = (at: Micros, row: number): void => {
    const t = Math.round(Math.max(0, Math.min(length, at)));
    const of = layout.rows[row];
    if (!of) return;
    const { from, to } = span.peek();
    const box = boxAt(boxes, of, t, (to - from) / 500);
    batch(() => {
      cursor.value = { t, row };
      span.value = showing(span.peek(), t, length);
      if (box && box.number > 0) current.value = box.number;
      told.value = toldCursor(t, of, box, result, texts);
    });
  };

  const goTo = (found: Numbered): void => {
    const { one } = found;
    const side = one.a ? 'a' : 'b';
    const row = layout.rows.findIndex(({ kind, place }) => kind === side && place === string(one));
    batch(() => {
      looking.go(found);
      cursor.value = { t: begin(one), row: Math.max(0, row) };
      told.value = toldDifference(found, looking.listed.peek().length, result, texts);
    });
  };

  const ask = (): void => {
    const at = cursor.peek();
    const row = layout.rows[at?.row ?? -1];
    if (!at || !row) return;
    onAsk({ at: at.t, pad: row.pad, side: row.kind === 'b' ? 'b' : 'a' });
  };

  return {
    goTo,
    zoom(factor, at) {
      const line = cursor.peek()?.t;
      const around =
        at === undefined && line !== undefined && isSeen(line) ? line : timeAt(at ?? 0.5);
      span.value = zoomed(span.peek(), factor, around, length);
    },
    move(share) {
      span.value = moved(span.peek(), share, length);
    },
    next(way) {
      const found = looking.next(way);
      if (!found) {
        told.value = texts.take.differences.noneOf;
        return;
      }
      goTo(found);
    },
    line(steps, rows) {
      const { from, to } = span.peek();
      const before = cursor.peek();
      if (!before || !isSeen(before.t)) {
        put((from + to) / 2, before?.row ?? 0);
        return;
      }
      const row = Math.max(0, Math.min(layout.rows.length - 1, before.row + rows));
      put(before.t + steps * STEP * (to - from), row);
    },
    ends(way) {
      const { from, to } = span.peek();
      const begin = way < 0 ? 0 : endOf(length) - (to - from);
      span.value = within({ from: begin, to: begin + to - from }, length);
    },
    whole() {
      span.value = within({ from: 0, to: endOf(length) }, length);
    },
    why() {
      if (!cursor.peek()) put(timeAt(0.5), 0);
      ask();
    },
    tap(at, y) {
      put(timeAt(at), rowAt(layout, y));
      ask();
    },
  };
}
