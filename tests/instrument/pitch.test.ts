import { describe, expect, it } from 'vitest';
import { pitchName, pitchNumber } from '../../src/instrument/pitch.js';

const numbers = (names: string): (number | undefined)[] => names.split(' ').map(pitchNumber);

describe('pitch names', () => {
  it('are scientific: C4 is 60, A4 is 69 (facts.md)', () => {
    expect(numbers('C4 A4')).toEqual([60, 69]);
  });

  it('give the open strings of a bass: E1 A1 D2 G2 are 41.2034, 55, 73.4162, 97.9989 Hz (facts.md)', () => {
    const hertz = numbers('E1 A1 D2 G2').map((n) => 440 * 2 ** ((n! - 69) / 12));
    const known = [41.2034, 55, 73.4162, 97.9989];
    for (const [i, f] of hertz.entries()) expect(f).toBeCloseTo(known[i]!, 4);
  });

  it('give a ukulele and the compass of recorders (facts.md, marked there as from memory)', () => {
    expect(numbers('G4 C4 E4 A4')).toEqual([67, 60, 64, 69]);
    expect(numbers('C5 D7')).toEqual([72, 98]);
    expect(numbers('F4 G6')).toEqual([65, 91]);
  });

  it('take sharps, flats, doubles of them and small letters', () => {
    expect(numbers('F#3 Gb3 Bb1 A#1 C##4 Ebb4 g2')).toEqual([54, 54, 34, 34, 62, 62, 43]);
    // An octave begins at its C, so B# and Cb lie beyond their own octave's ends.
    expect(numbers('B#3 C4 Cb4 B3')).toEqual([60, 60, 59, 59]);
  });

  it('reach from MIDI 0 to 127 and no further', () => {
    expect(numbers('C-1 G9')).toEqual([0, 127]);
    expect(numbers('Cb-1 G#9 B9 C10 C-2')).toEqual(Array(5).fill(undefined));
  });

  it('are nothing else', () => {
    expect(numbers('H2 G 43 G2x Gis2 #2')).toEqual(Array(6).fill(undefined));
    expect(pitchNumber('')).toBeUndefined();
    expect(pitchNumber('G 2')).toBeUndefined();
  });

  it('come back from every number', () => {
    for (let n = 0; n < 128; n++) expect(pitchNumber(pitchName(n))).toBe(n);
  });
});
