import { begin } from '../../../compare/match.js';
import type { Numbered } from '../../../compare/run.js';
import { SECOND, type Micros } from '../../../time/micros.js';
import type { Texts } from '../texts/en.js';
import type { Result } from './desk/messages.js';
import { levelAt } from './desk/pyramid.js';
import { pitchOf, placeOfNote } from './names.js';
import type { Box } from './time/boxes.js';
import type { Row } from './time/rows.js';

/** A time as people are told it. */
export const timeIn = (texts: Texts, t: Micros, digits = 2): string =>
  texts.take.seconds(t / SECOND, digits);

/** `Difference 3 of 12 at 4.20 s, on A1 fret 2: missed in B`. */
export function toldDifference(
  { one, number }: Numbered,
  of: number,
  { instrument }: Result,
  texts: Texts,
): string {
  const { differences } = texts.take;
  const where = placeOfNote(one.a ?? one.b, instrument, texts);
  const words = differences.changes(one, instrument);
  return differences.told(number, of, timeIn(texts, begin(one)), where, words);
}

/** What is at the cursor: the level of a pad, or the note of a side. */
export function toldCursor(
  t: Micros,
  row: Row,
  box: Box | null,
  result: Result,
  texts: Texts,
): string {
  const { view, differences } = texts.take;
  const place = view.at(timeIn(texts, t, 3), row.name);
  if (row.kind === 'pad') {
    const pyramid = result.levels[row.pad ?? -1];
    const level = pyramid ? levelAt(pyramid, t) : null;
    return `${place}: ${level === null ? view.nothing : view.level(level.toFixed(2))}`;
  }
  if (!box || box.look === 'gap') return `${place}: ${view.noNote}`;
  const { from, to, pitch, velocity, numbered } = box;
  const long = texts.take.span(to - from);
  const name = pitchOf(pitch, result.instrument, texts);
  const note = view.note(name, timeIn(texts, from, 3), long, velocity);
  if (!numbered || numbered.number === 0) return `${place}: ${note}`;
  return `${place}: ${note}; ${differences.changes(numbered.one, result.instrument)}`;
}
