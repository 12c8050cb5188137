import { isAnotherNote } from '../../../../compare/compare.js';
import { string } from '../../../../compare/match.js';
import type { Numbered } from '../../../../compare/run.js';
import { SIGNS } from '../../../../compare/words.js';
import type { Micros } from '../../../../time/micros.js';
import type { Result } from '../desk/messages.js';
import type { Row } from './rows.js';

/** A note as it is drawn. */
export interface Box {
  readonly from: Micros;
  readonly to: Micros;
  /** `differs`: in time, loudness or length; `gap`: where the other side has a note and this one none. */
  readonly look: 'alike' | 'differs' | 'another' | 'only' | 'gap' | 'wanted';
  /** Shapes that say what differs. */
  readonly signs: string;
  readonly pitch: number;
  readonly velocity: number | null;
  /** The number of the difference; 0: none. */
  readonly number: number;
  readonly numbered: Numbered | null;
}

/** A wanted note that does not say when it ends is drawn this long. */
const UNKNOWN: Micros = 100_000;

/** The notes of every place and side, each list in the order of time. */
export type Boxes = Readonly<Record<'a' | 'b' | 'wanted', readonly (readonly Box[])[]>>;

export function boxesOf(
  { wanted }: Pick<Result, 'wanted'>,
  numbered: readonly Numbered[],
  places: number,
): Boxes {
  const none = (): Box[][] => Array.from({ length: places }, () => []);
  const boxes = { a: none(), b: none(), wanted: none() };
  for (const one of numbered) {
    for (const side of ['a', 'b'] as const) boxes[side][string(one.one)]?.push(boxOf(side, one));
  }
  for (const { note, place } of wanted ?? []) {
    const { onset, offset, velocity } = note;
    boxes.wanted[place]?.push({
      from: onset,
      to: offset ?? onset + UNKNOWN,
      look: 'wanted',
      signs: '',
      number: 0,
      pitch: note.note,
      velocity,
      numbered: null,
    });
  }
  return boxes;
}

function boxOf(side: 'a' | 'b', numbered: Numbered): Box {
  const { one, number } = numbered;
  const note = one[side] ?? (one.a ?? one.b)!;
  const { onset: from, offset: to, note: pitch, velocity } = note;
  // What changed stands on B's note, which is compared with A's.
  const told = one.changes.filter(({ kind }) => side === 'b' || kind === 'missed');
  const signs = one[side] ? told.map(({ kind }) => SIGNS[kind]).join('') : '–';
  return {
    from,
    to,
    pitch,
    velocity,
    number,
    numbered,
    signs,
    look: lookOf(side, numbered),
  };
}

function lookOf(side: 'a' | 'b', { one, number }: Numbered): Box['look'] {
  if (!one[side]) return 'gap';
  if (number === 0) return 'alike';
  if (!isAnotherNote(one)) return 'differs';
  return one.a && one.b ? 'another' : 'only';
}

/** The box of a row at a time; of two that overlap, the later one. */
export function boxAt(
  boxes: Boxes,
  { kind, place }: Row,
  t: Micros,
  slack: Micros = 0,
): Box | null {
  if (kind === 'pad') return null;
  const all = boxes[kind][place] ?? [];
  return all.findLast(({ from, to }) => from - slack <= t && t <= to + slack) ?? null;
}
