import { placesOf } from '../../../../compare/places.js';
import type { Result } from '../desk/messages.js';
import { soundingPad } from '../names.js';

/** One line of the picture: a pad's levels, or the notes of one side on one place. */
export interface Row {
  readonly kind: 'pad' | 'wanted' | 'a' | 'b';
  readonly place: number;
  /** Whose levels; of notes, the pad that sounds the place; null: it has none. */
  readonly pad: number | null;
  readonly name: string;
  /** In CSS pixels from the top. */
  readonly top: number;
  readonly height: number;
}

/** A string, a key, the pipe or a drum pad, with all its rows. */
export interface Group {
  readonly name: string;
  readonly rows: readonly Row[];
  readonly top: number;
  readonly height: number;
}

export interface Layout {
  readonly groups: readonly Group[];
  readonly rows: readonly Row[];
  readonly height: number;
}

/** Heights in rem, so that they follow the size of the text. */
const RULER = 1.75;
const PAD = 1.5;
const NOTES = 1.625;
const BETWEEN = 0.375;

export interface RowNames {
  readonly places: readonly string[];
  readonly pads: readonly string[];
  readonly sides: { readonly a: string; readonly b: string; readonly wanted: string };
}

/** @param rem the size of the text in CSS pixels */
export function layoutOf({ instrument, wanted }: Result, names: RowNames, rem: number): Layout {
  let top = RULER * rem;
  const groups = placesOf(instrument).map(({ pads }, place): Group => {
    const begins = top;
    const row = (kind: Row['kind'], pad: number | null, name: string, height: number): Row => {
      const one = { kind, place, pad, name, top, height: height * rem };
      top += one.height;
      return one;
    };
    const sounds = soundingPad(instrument, place);
    const rows = [
      ...pads.map((pad) => row('pad', pad, names.pads[pad] ?? String(pad), PAD)),
      ...(wanted ? [row('wanted', sounds, names.sides.wanted, NOTES)] : []),
      row('a', sounds, names.sides.a, NOTES),
      row('b', sounds, names.sides.b, NOTES),
    ];
    top += BETWEEN * rem;
    return { name: names.places[place] ?? '', rows, top: begins, height: top - begins };
  });
  return { groups, rows: groups.flatMap(({ rows }) => rows), height: top };
}

/** Which row is at a height; the nearest one beyond the first and the last. */
export function rowAt({ rows }: Layout, y: number): number {
  const at = rows.findLastIndex(({ top }) => top <= y);
  return Math.max(0, at);
}
