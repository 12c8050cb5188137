import type { PlayedNote } from '../../src/compare/notes.js';

let voices = 0;

/** A note of a take run again: times in milliseconds, on a string of its own unless `more` says else. */
export function played(
  on: number,
  off = on + 200,
  pitch = 33,
  more: Partial<PlayedNote> = {},
): PlayedNote {
  voices += 1;
  return {
    onset: Math.round(on * 1000),
    offset: Math.round(off * 1000),
    note: pitch,
    velocity: 90,
    strength: 0.7,
    string: 2,
    fret: pitch - 33,
    how: 'pluck',
    voice: voices,
    ...more,
  };
}
