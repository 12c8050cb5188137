import { pitchName } from '../../../instrument/pitch.js';
import type { Instrument } from '../../../instrument/types.js';
import type { PlayedNote } from '../../../compare/notes.js';
import type { Texts } from '../texts/en.js';

/** What each place of an instrument is called: a string, a key, the pipe, a drum pad. */
export function placeNames(instrument: Instrument, { take, drums }: Texts): string[] {
  switch (instrument.kind) {
    case 'strings':
      return instrument.strings.map(({ open }) => take.place.string(pitchName(open)));
    case 'keys':
      return instrument.keys.map(({ note }) => pitchName(note));
    case 'holes':
      return [take.place.pipe];
    case 'hits':
      return instrument.hits.map(({ drum }) => drums(drum));
  }
}

/** What each pad is called, by its number. */
export function namesOfPads(instrument: Instrument, { room, drums }: Texts): string[] {
  const names: string[] = [];
  switch (instrument.kind) {
    case 'strings':
      for (const { open, frets, pluck } of instrument.strings) {
        frets.forEach((pad, i) => (names[pad] = room.pad.fret(pitchName(open), i + 1)));
        names[pluck] = room.pad.pluck(pitchName(open));
      }
      break;
    case 'keys':
      for (const { note, pad } of instrument.keys) names[pad] = pitchName(note);
      break;
    case 'holes':
      instrument.holes.forEach((pad, i) => (names[pad] = room.pad.hole(i + 1)));
      if (instrument.mouth !== null) names[instrument.mouth] = room.pad.mouth;
      break;
    case 'hits':
      for (const { drum, pad } of instrument.hits) names[pad] = drums(drum);
  }
  return names;
}

/** Where a note was played. */
export function placeOfNote(note: PlayedNote, instrument: Instrument, texts: Texts): string {
  const name = placeNames(instrument, texts)[note.string] ?? String(note.string + 1);
  if (instrument.kind !== 'strings') return name;
  const open = instrument.strings[note.string]?.open;
  const string = open === undefined ? name : pitchName(open);
  return note.fret === 0 ? texts.take.place.open(string) : texts.room.pad.fret(string, note.fret);
}

/** A note's pitch; a drum's name. */
export function pitchOf(note: number, { kind }: Instrument, { drums }: Texts): string {
  return kind === 'hits' ? drums(note) : pitchName(note);
}

/** The pad that sounds a place: a pluck pad, a key, the mouth, a drum pad. */
export function soundingPad(instrument: Instrument, place: number): number | null {
  switch (instrument.kind) {
    case 'strings':
      return instrument.strings[place]?.pluck ?? null;
    case 'keys':
      return instrument.keys[place]?.pad ?? null;
    case 'holes':
      return instrument.mouth;
    case 'hits':
      return instrument.hits[place]?.pad ?? null;
  }
}
