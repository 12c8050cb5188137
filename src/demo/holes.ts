import type { Fingering, HolesInstrument } from '../instrument/types.js';
import type { Micros } from '../time/micros.js';
import { endOf, fitted, timeOf, tuneOf, type TuneNote } from './tune.js';
import type { Gesture } from './gestures.js';

const MELODY = [
  '1 B5 .9, ~2 A5 .4, ~2.5 G5 1.3',
  '0 E5 1.8, 2 G5 .9, 3 A5 .8',
  '0 C6 1.4, ~1.5 B5 .4, 2 A5 1.8',
  '0 A5 .9, 1 C6 .9, 2 D6 .9, ~3 C6 .8',
  '0 G5 .9, ~1 A5 .4, ~1.5 G5 .4, 2 E5 1.8',
  '0 A5 .9, 1 B5 .9, 2 C6 1.4, ~3.5 B5 .4',
  '0 D6 .9, ~1 B5 .9, 2 G5 .9, ~3 A5 .8',
  '0 B5 .4, ~.5 A5 .4, ~1 G5 .8, 2 E5 1.9',
];

/** A pipe waits for its fingers before it answers, and who plays one is ahead of the beat by that. */
const AHEAD: Micros = 50_000;
/** The fingers of a new breath move so long before it. */
const FINGERS_AHEAD: Micros = 30_000;

export function holesTune(instrument: HolesInstrument): TuneNote[] {
  return fitted([tuneOf(MELODY)], (note) => rowOf(instrument, note) !== undefined);
}

function rowOf({ fingerings }: HolesInstrument, note: number): Fingering | undefined {
  return fingerings.find((row) => row.note === note);
}

/** Notes that are played with one touch of the mouth. */
function breathsOf(tune: readonly TuneNote[]): TuneNote[][] {
  const breaths: TuneNote[][] = [];
  for (const note of tune) {
    if (note.slurred && breaths.length > 0) breaths.at(-1)!.push(note);
    else breaths.push([note]);
  }
  return breaths;
}

/** From when to when the fingers of a note are where it needs them. */
interface Fingered {
  readonly from: Micros;
  readonly to: Micros;
  readonly row: Fingering;
}

/** One touch for each stretch in which a hole stays closed. */
function fingerTouches(pad: number, hole: number, notes: readonly Fingered[]): Gesture[] {
  const touches: { pad: number; at: Micros; until: Micros; strength: number }[] = [];
  for (const { from, to, row } of notes) {
    const last = touches.at(-1);
    if (row.holes[hole] !== 'closed') continue;
    if (last?.until === from) last.until = to;
    else touches.push({ pad, at: from, until: to, strength: 1 });
  }
  return touches;
}

/** What mouth and fingers do to play a tune on a pipe. */
export function holesGestures(tune: readonly TuneNote[], instrument: HolesInstrument): Gesture[] {
  const { holes, mouth } = instrument;
  const breaths = breathsOf(tune.filter(({ note }) => rowOf(instrument, note)));
  const blown: Gesture[] = [];
  const fingered: Fingered[] = [];
  for (const breath of breaths) {
    const first = breath[0]!;
    const last = breath.at(-1)!;
    const at = timeOf(first.beat) - AHEAD;
    const until = endOf(timeOf(last.beat) - AHEAD, last.beats);
    if (mouth !== null) blown.push({ pad: mouth, at, until, strength: first.strength });
    for (const one of breath) {
      const ahead = one === first && mouth !== null ? AHEAD + FINGERS_AHEAD : AHEAD;
      const from = timeOf(one.beat) - ahead;
      const before = fingered.at(-1);
      // With a mouth pad the fingers may stay until the next note; without one they end the breath.
      if (before && (one !== first || mouth !== null)) {
        fingered[fingered.length - 1] = { ...before, to: from };
      }
      fingered.push({ from, to: until, row: rowOf(instrument, one.note)! });
    }
  }
  return [...blown, ...holes.flatMap((pad, hole) => fingerTouches(pad, hole, fingered))];
}
