import type { StringsInstrument } from '../instrument/types.js';
import type { Micros } from '../time/micros.js';
import { bassTune } from './bass.js';
import { endOf, fitted, timeOf, tuneOf, type TuneNote } from './tune.js';
import type { Gesture } from './gestures.js';

/** What goes with it on strings tuned higher: broken chords. */
const BROKEN = [
  '0 E4 .4, .5 G4 .4, 1 B4 .4, 1.5 G4 .4, 2 E4 .4, 2.5 G4 .4, 3 B4 .9',
  '0 E4 .4, .5 G4 .4, 1 B4 .4, 1.5 G4 .4, 2 D4 .4, 2.5 G4 .4, 3 B4 .9',
  '0 C4 .4, .5 E4 .4, 1 A4 .4, 1.5 E4 .4, 2 C4 .4, 2.5 E4 .4, 3 C5 .9',
  '0 C4 .4, .5 E4 .4, 1 A4 .4, 1.5 E4 .4, 2 C4 .4, 2.5 G4 .4, 3 C5 .9',
  '0 C4 .4, .5 E4 .4, 1 G4 .4, 1.5 E4 .4, 2 C4 .4, 2.5 E4 .4, 3 A4 .9',
  '0 C4 .4, .5 E4 .4, 1 A4 .4, 1.5 E4 .4, 2 C4 .4, 2.5 E4 .4, 3 G4 .9',
  '0 D4 .4, .5 F#4 .4, 1 B4 .4, 1.5 G4 .4, 2 E4 .4, 2.5 G4 .4, 3 B4 .9',
  '0 E4 .4, .5 G4 .4, 1 B4 .4, 1.5 G4 .4, 2 E4 1.9',
];

/** The fret is down this long before the pluck, as a careful player does it. */
const FRET_AHEAD: Micros = 60_000;
const PLUCK_FOR: Micros = 90_000;

/** The string and fret on which a note lies: the lowest fret that has it, or null where none has. */
export function placeOf(
  instrument: StringsInstrument,
  note: number,
): { readonly string: number; readonly fret: number } | null {
  let best: { string: number; fret: number } | null = null;
  instrument.strings.forEach(({ open, frets }, string) => {
    const fret = note - open;
    if (fret < 0 || fret > frets.length) return;
    if (best === null || fret < best.fret) best = { string, fret };
  });
  return best;
}

export function stringsTune(instrument: StringsInstrument): TuneNote[] {
  return fitted([bassTune(), tuneOf(BROKEN)], (note) => placeOf(instrument, note) !== null);
}

/** What the fingers do to play a tune on an instrument. Notes that it does not have are left out. */
export function stringsGestures(
  tune: readonly TuneNote[],
  instrument: StringsInstrument,
): Gesture[] {
  return tune.flatMap(({ beat, note, beats, strength }) => {
    const place = placeOf(instrument, note);
    if (!place) return [];
    const at = timeOf(beat);
    const until = endOf(at, beats);
    const { frets, pluck } = instrument.strings[place.string]!;
    const plucked: Gesture = { pad: pluck, at, until: at + PLUCK_FOR, strength };
    if (place.fret === 0) return [plucked];
    const fretted = { pad: frets[place.fret - 1]!, at: at - FRET_AHEAD, until, strength: 1 };
    return [fretted, plucked];
  });
}
