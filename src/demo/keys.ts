import type { KeysInstrument } from '../instrument/types.js';
import { endOf, fitted, timeOf, tuneOf, type TuneNote } from './tune.js';
import type { Gesture } from './gestures.js';

const CHORDS = [
  '0 E4 G4 B4 1.8, 2.5 E4 G4 B4 .4, 3 E4 G4 B4 .8',
  '0 E4 G4 B4 1.8, 2.5 D4 G4 B4 .4, 3 D4 G4 B4 .8',
  '0 E4 A4 C5 1.8, 2.5 E4 A4 C5 .4, 3 E4 A4 C5 .8',
  '0 E4 A4 C5 1.8, 2.5 E4 G4 C5 .4, 3 E4 G4 C5 .8',
  '0 C4 E4 G4 1.4, 2 C4 E4 A4 1.4',
  '0 C4 E4 A4 1.4, 2 C4 E4 G4 1.4',
  '0 D4 F#4 B4 1.4, 2 E4 G4 B4 1.4',
  '0 E4 G4 B4 1.4, 2 E4 G4 B4 1.9',
];

export function keysTune({ keys }: KeysInstrument): TuneNote[] {
  return fitted([tuneOf(CHORDS)], (note) => keys.some((key) => key.note === note));
}

/** What the fingers do to play a tune on touch keys. */
export function keysGestures(tune: readonly TuneNote[], { keys }: KeysInstrument): Gesture[] {
  return tune.flatMap(({ beat, note, beats, strength }) => {
    const key = keys.find((one) => one.note === note);
    const at = timeOf(beat);
    return key ? [{ pad: key.pad, at, until: endOf(at, beats), strength }] : [];
  });
}
