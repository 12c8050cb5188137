import type { Instrument } from '../../instrument/types.js';
import { isAnotherNote, type Compared } from '../../compare/compare.js';
import type { ListedNote } from '../../takes/read-notes.js';
import { element, escaped } from '../check/svg.js';
import { seconds } from './curves.js';
import { pitchWords } from '../../compare/places.js';
import type { Numbered } from '../../compare/run.js';
import { changesWords, noteWords, SIGNS } from '../../compare/words.js';

/** The notes of one side on one string, by time. */
export function lane(side: 'a' | 'b', notes: readonly Numbered[], instrument: Instrument): string {
  return notes
    .map(({ one, number }) => {
      const { a, b } = one;
      const note = side === 'a' ? a : b;
      const why =
        number === 0 ? '' : `; difference ${String(number)}: ${changesWords(one, instrument)}`;
      if (!note) {
        const gap = { 'data-n': number, 'aria-hidden': 'true' };
        return box((a ?? b)!, 'gap', gap, '–');
      }
      // What changed stands on B's note, which is compared with A's.
      const told = one.changes.filter(({ kind }) => side === 'b' || kind === 'missed');
      const signs = told.map(({ kind }) => SIGNS[kind]).join('');
      const words = `${side.toUpperCase()}: ${noteWords(note, instrument)}${why}`;
      return box(
        note,
        number === 0 ? 'note' : looks(one),
        {
          title: words,
          ...(number === 0 ? {} : { 'data-n': number }),
          ...anchor(side, one, number),
        },
        [
          ...(signs === '' ? [] : [signs]),
          // A drum's name stands beside its row already.
          ...(instrument.kind === 'hits' ? [] : [pitchWords(note.note, instrument)]),
          String(note.velocity),
        ].join(' '),
      );
    })
    .join('\n');
}

/** What everybody hears stands out; a change of time, loudness or length is told by its signs. */
function looks(one: Compared): string {
  if (!isAnotherNote(one)) return 'note differs';
  return one.a && one.b ? 'note differs another' : 'note differs another only';
}

/** What a link in the list of differences leads to: the note of A, or of B where A has none. */
function anchor(side: 'a' | 'b', { a }: Compared, number: number): { id?: string } {
  return number > 0 && (side === 'a' || a === null) ? { id: `d${String(number)}` } : {};
}

/** What was wanted on one string. */
export function wantedLane(notes: readonly ListedNote[], instrument: Instrument): string {
  return notes
    .map((note) =>
      box(
        note,
        'note wanted',
        { title: `wanted: ${noteWords(note, instrument)}` },
        pitchWords(note.note, instrument),
      ),
    )
    .join('\n');
}

/** A wanted note that does not say when it ends is drawn this long. */
const UNKNOWN = 100_000;

function box(
  { onset, offset }: ListedNote,
  kind: string,
  attributes: Readonly<Record<string, string | number>>,
  text: string,
): string {
  const length = offset === null ? UNKNOWN : offset - onset;
  const style = `--t:${seconds(onset)};--d:${seconds(length)}`;
  return element('span', { class: kind, ...attributes, style }, escaped(text));
}
