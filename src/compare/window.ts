import { SECOND, type Micros } from '../time/micros.js';
import { isAnotherNote, type Compared } from './compare.js';
import { begin } from './match.js';
import type { Window } from './run.js';

/** About one bar of music: four beats at 60 a minute, two bars at 120. */
export const USUAL: Micros = 4 * SECOND;
/** What is looked at begins this long before its first difference. */
const BEFORE: Micros = SECOND;

/** Where to look first where nothing was asked for: the first thing that differs, best one that is heard. */
export function windowOfInterest(notes: readonly Compared[], length: Micros): Window {
  const first =
    notes.find(isAnotherNote) ?? notes.find(({ changes }) => changes.length > 0) ?? notes[0];
  const from = Math.max(0, Math.min((first ? begin(first) : 0) - BEFORE, length - USUAL));
  return { from, to: from + USUAL };
}
