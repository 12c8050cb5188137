import type { ListedNote } from '../../src/takes/read-notes.js';

/** A note from `on` to `off`, in milliseconds. */
export function note(on: number, off: number | null = null, pitch = 33, more = {}): ListedNote {
  const offset = off === null ? null : Math.round(off * 1000);
  const rest = { velocity: null, strength: null, string: null };
  return { onset: Math.round(on * 1000), offset, note: pitch, ...rest, ...more };
}

export const shifted = (notes: readonly ListedNote[], ms: number): ListedNote[] =>
  notes.map((one) => ({ ...one, onset: one.onset + ms * 1000 }));
