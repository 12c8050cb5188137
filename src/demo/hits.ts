import type { HitsInstrument } from '../instrument/types.js';
import type { Micros } from '../time/micros.js';
import { timeOf, tuneOf, type TuneNote } from './tune.js';
import type { Gesture } from './gestures.js';

/** General MIDI percussion: 36 bass drum, 38 snare, 42 closed and 46 open hi-hat, 45 tom, 49 crash. */
const DRUMS = [36, 38, 42, 46, 45, 49];
const HATS = '.5 42 .1, 1.5 42 .1, 2 42 .1, 2.5 42 .1, 3.5 42 .1';
const BAR = `0 36 42 .1, 1 38 42 .1, 2.5 36 .1, 3 38 42 .1, ${HATS}`;
const BEAT = [
  `0 49 36 .1, 1 38 42 .1, 2.5 36 .1, 3 38 42 .1, ${HATS}`,
  BAR,
  BAR,
  `0 36 42 .1, 1 38 42 .1, 2 42 .1, 2.5 36 .1, 3 38 .1, 3.5 46 .1`,
  BAR,
  BAR,
  BAR,
  '0 36 42 .1, 1 38 .1, 1.5 45 .1, 1.75 45 .1, 2 49 36 .1',
];

const TAP_FOR: Micros = 60_000;

/** A set without one of our drums has another one played for it: the one at the same place in the list. */
export function hitsTune({ hits }: HitsInstrument): TuneNote[] {
  const has = (drum: number): boolean => hits.some((hit) => hit.drum === drum);
  return tuneOf(BEAT).map((one) => {
    const other = hits[DRUMS.indexOf(one.note) % hits.length]!.drum;
    return { ...one, note: has(one.note) ? one.note : other };
  });
}

/** What the hands do to play a beat on drum pads. */
export function hitsGestures(tune: readonly TuneNote[], { hits }: HitsInstrument): Gesture[] {
  return tune.flatMap(({ beat, note, strength }) => {
    const hit = hits.find(({ drum }) => drum === note);
    const at = timeOf(beat);
    return hit ? [{ pad: hit.pad, at, until: at + TAP_FOR, strength }] : [];
  });
}
