import { pitchName } from './pitch.js';
import { drumName } from './drum-names.js';
import type { Instrument } from './types.js';

/** What a pad is called on an instrument, by pad number: `A1 fret 2`, `A1 pluck`, `C4`, `hole 3`, `snare drum`. */
export function padNames(instrument: Instrument): readonly string[] {
  const names: string[] = [];
  switch (instrument.kind) {
    case 'strings':
      for (const { open, frets, pluck } of instrument.strings) {
        const string = pitchName(open);
        frets.forEach((pad, i) => (names[pad] = `${string} fret ${String(i + 1)}`));
        names[pluck] = `${string} pluck`;
      }
      break;
    case 'keys':
      for (const { note, pad } of instrument.keys) names[pad] = pitchName(note);
      break;
    case 'holes':
      instrument.holes.forEach((pad, i) => (names[pad] = `hole ${String(i + 1)}`));
      if (instrument.mouth !== null) names[instrument.mouth] = 'mouth';
      break;
    case 'hits':
      for (const { drum, pad } of instrument.hits) names[pad] = drumName(drum);
      break;
  }
  return names;
}
