import { pitchName } from '../../../instrument/pitch.js';
import type { Texts } from '../texts/en.js';
import type { PadShape } from './shapes.js';

/** What a pad is called, in the reader's language. */
export function padLabel({ role, note, nth }: PadShape, { room, drums }: Texts): string {
  switch (role) {
    case 'fret':
      return room.pad.fret(pitchName(note), nth);
    case 'pluck':
      return room.pad.pluck(pitchName(note));
    case 'key':
    case 'black-key':
      return pitchName(note);
    case 'hole':
      return room.pad.hole(nth);
    case 'mouth':
      return room.pad.mouth;
    case 'drum':
      return drums(note);
  }
}

/** What is written on it, where its place alone does not say it. */
export function padSign({ role, note, nth }: PadShape, texts: Texts): string {
  switch (role) {
    case 'fret':
    case 'hole':
      return String(nth);
    case 'key':
      return pitchName(note);
    case 'black-key':
      // It is narrow, and its octave is written on its neighbours.
      return pitchName(note).replace(/-?\d+$/, '');
    case 'drum':
      return texts.drums(note);
    case 'pluck':
    case 'mouth':
      return '';
  }
}

/** What sounds there, in words: a pitch, or a drum. */
export function noteLabel(kind: string, note: number, { drums }: Texts): string {
  return kind === 'hits' ? drums(note) : pitchName(note);
}
