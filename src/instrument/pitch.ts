import { Midi, Note } from 'tonal';

/** Letter, accidentals, octave: `G2`, `F#3`, `Bb1`. */
export const PITCH = /^[A-Ga-g](#{1,2}|b{1,2})?(-1|\d)$/;

/**
 * The MIDI note number of a scientific pitch name: C4 is 60.
 *
 * @returns 0 to 127, or undefined where the text is no pitch name or MIDI has no number for it
 */
export function pitchNumber(name: string): number | undefined {
  if (!PITCH.test(name)) return undefined;
  const number = Note.midi(name);
  // tonal's `midi` knows no limits, `get` does not wrap: B#9 would be 132.
  return number !== null && number >= 0 && number <= 127 ? number : undefined;
}

/**
 * The scientific name of a MIDI note number, black keys as sharps.
 *
 * @example pitchName(43) // 'G2'
 */
export function pitchName(number: number): string {
  return Midi.midiToNoteName(number, { sharps: true });
}
