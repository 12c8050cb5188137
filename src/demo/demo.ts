import type { Instrument } from '../instrument/types.js';
import type { Scan } from '../wire/scan.js';
import { hitsGestures, hitsTune } from './hits.js';
import { holesGestures, holesTune } from './holes.js';
import { keysGestures, keysTune } from './keys.js';
import { stringsGestures, stringsTune } from './strings.js';
import { DEMO_LENGTH, type TuneNote } from './tune.js';
import { readingsOf, seededNumbers, type Gesture, type MadeUnit } from './gestures.js';

export { bassTune as demoTune } from './bass.js';
export { DEMO_LENGTH, type TuneNote } from './tune.js';

/** What the demo plays on an instrument: its own part of one piece, as far as it has the notes. */
export function demoPart(instrument: Instrument): TuneNote[] {
  switch (instrument.kind) {
    case 'strings':
      return stringsTune(instrument);
    case 'keys':
      return keysTune(instrument);
    case 'holes':
      return holesTune(instrument);
    case 'hits':
      return hitsTune(instrument);
  }
}

/** What the fingers do to play a part on an instrument. */
export function gesturesOf(part: readonly TuneNote[], instrument: Instrument): Gesture[] {
  switch (instrument.kind) {
    case 'strings':
      return stringsGestures(part, instrument);
    case 'keys':
      return keysGestures(part, instrument);
    case 'holes':
      return holesGestures(part, instrument);
    case 'hits':
      return hitsGestures(part, instrument);
  }
}

/** A unit as a class might have built it: every pad a little different. */
export function demoUnit(pads: number, seed: number): MadeUnit {
  const random = seededNumbers(seed);
  return {
    rest: Array.from({ length: pads }, () => 900 + 500 * random()),
    span: Array.from({ length: pads }, () => 500 + 500 * random()),
    noise: 16,
    full: 16_383,
  };
}

/** The demo's raw readings: a part of the piece on a made-up unit, the same ones for the same seed. */
export function demoReadings(
  instrument: Instrument,
  pads: number,
  seed = 1,
): Generator<Scan, void> {
  const gestures = gesturesOf(demoPart(instrument), instrument);
  return readingsOf(gestures, demoUnit(pads, seed), DEMO_LENGTH, seed);
}
