import { pitchName } from './pitch.js';
import type { Instrument } from './types.js';

/** What a pad is called on an instrument, by pad number: `A1 fret 2`, `A1 pluck`. */
export function padNames(instrument: Instrument): readonly string[] {
  const names: string[] = [];
  for (const { open, frets, pluck } of instrument.strings) {
    const string = pitchName(open);
    frets.forEach((pad, i) => (names[pad] = `${string} fret ${String(i + 1)}`));
    names[pluck] = `${string} pluck`;
  }
  return names;
}
