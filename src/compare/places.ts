import { drumName } from '../instrument/drum-names.js';
import { pitchName } from '../instrument/pitch.js';
import type { Instrument } from '../instrument/types.js';
import type { PlayedNote } from './notes.js';
import type { ListedNote } from '../takes/read-notes.js';

/** What sounds one note at a time: a string, a key, a drum pad, or the whole pipe. */
export interface Place {
  readonly name: string;
  readonly pads: readonly number[];
}

/** The places of an instrument, in the order in which notes count them as `string`. */
export function placesOf(instrument: Instrument): Place[] {
  switch (instrument.kind) {
    case 'strings':
      return instrument.strings.map(({ open, frets, pluck }) => ({
        name: `${pitchName(open)} string`,
        pads: [...frets, pluck],
      }));
    case 'keys':
      return instrument.keys.map(({ note, pad }) => ({ name: pitchName(note), pads: [pad] }));
    case 'holes': {
      const { holes, mouth } = instrument;
      return [{ name: 'pipe', pads: mouth === null ? holes : [...holes, mouth] }];
    }
    case 'hits':
      return instrument.hits.map(({ drum, pad }) => ({ name: drumName(drum), pads: [pad] }));
  }
}

/** A note's pitch in words; a drum's name. */
export function pitchWords(note: number, { kind }: Instrument): string {
  return kind === 'hits' ? drumName(note) : pitchName(note);
}

/** Where a note was played: `A1 fret 2`, `A1 open`, `C4`. */
export function placeWords(note: PlayedNote, instrument: Instrument): string {
  if (instrument.kind !== 'strings') {
    return placesOf(instrument)[note.string]?.name ?? `place ${String(note.string)}`;
  }
  const open = instrument.strings[note.string]?.open;
  const string = open === undefined ? `string ${String(note.string)}` : pitchName(open);
  return note.fret === 0 ? `${string} open` : `${string} fret ${String(note.fret)}`;
}

/** The place of a wanted note that does not say it: the first that has its pitch, else the first. */
export function placeOfWanted({ string, note }: ListedNote, instrument: Instrument): number {
  if (string !== null) return string;
  const has = (): number => {
    switch (instrument.kind) {
      case 'strings':
        return lowestFret(note, instrument.strings);
      case 'keys':
        return instrument.keys.findIndex((key) => key.note === note);
      case 'holes':
        return 0;
      case 'hits':
        return instrument.hits.findIndex(({ drum }) => drum === note);
    }
  };
  return Math.max(0, has());
}

function lowestFret(
  note: number,
  strings: readonly { readonly open: number; readonly frets: readonly number[] }[],
): number {
  const fits = strings
    .map(({ open, frets }, index) => ({ index, fret: note - open, most: frets.length }))
    .filter(({ fret, most }) => fret >= 0 && fret <= most);
  return fits.sort((one, other) => one.fret - other.fret)[0]?.index ?? -1;
}
