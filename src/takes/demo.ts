import type { StringsInstrument } from '../instrument/types.js';
import { SECOND, type Micros } from '../time/micros.js';
import type { Scan } from '../wire/scan.js';
import { readingsOf, seededNumbers, type Gesture, type MadeUnit } from './gestures.js';

/** One note of a tune: beats from the start, MIDI note number, beats long, strength 0 to 1. */
export interface TuneNote {
  readonly beat: number;
  readonly note: number;
  readonly beats: number;
  readonly strength: number;
}

/** "Rain on the tin roof": eight bars for a four-string bass, made for this project. */
const BARS: readonly (readonly (readonly [beat: number, note: number, beats: number])[])[] = [
  [
    [0, 28, 1.4],
    [1.5, 31, 0.4],
    [2, 35, 0.9],
    [3, 33, 0.8],
  ],
  [
    [0, 28, 0.9],
    [1, 35, 0.4],
    [1.5, 38, 1.2],
    [3, 36, 0.8],
  ],
  [
    [0, 33, 1.4],
    [1.5, 36, 0.4],
    [2, 40, 0.9],
    [3, 38, 0.8],
  ],
  [
    [0, 33, 0.9],
    [1, 40, 0.4],
    [1.5, 43, 1.2],
    [3, 42, 0.4],
    [3.5, 41, 0.4],
  ],
  [
    [0, 40, 0.8],
    [1, 38, 0.4],
    [1.5, 36, 0.4],
    [2, 33, 1.6],
  ],
  [
    [0, 45, 0.8],
    [1, 43, 0.4],
    [1.5, 40, 0.4],
    [2, 38, 0.9],
    [3, 36, 0.8],
  ],
  [
    [0, 35, 0.9],
    [1, 38, 0.4],
    [1.5, 40, 0.9],
    [2.5, 47, 0.4],
    [3, 45, 0.8],
  ],
  [
    [0, 43, 0.4],
    [0.5, 40, 0.4],
    [1, 35, 0.4],
    [1.5, 31, 0.4],
    [2, 28, 1.9],
  ],
];

const BEATS_PER_BAR = 4;
const BEAT: Micros = SECOND / 1.8;
const FIRST: Micros = SECOND;

/** The fret is down this long before the pluck, as a careful player does it. */
const FRET_AHEAD: Micros = 60_000;
const PLUCK_FOR: Micros = 90_000;

export function demoTune(): TuneNote[] {
  return BARS.flatMap((bar, i) =>
    bar.map(([beat, note, beats]) => ({
      beat: i * BEATS_PER_BAR + beat,
      note,
      beats,
      strength: beat === 0 ? 1 : beat % 1 === 0 ? 0.85 : 0.72,
    })),
  );
}

/** The string and fret on which a note lies: the lowest fret that has it, or null where none has. */
export function placeOf(
  instrument: StringsInstrument,
  note: number,
): { readonly string: number; readonly fret: number } | null {
  let best: { string: number; fret: number } | null = null;
  instrument.strings.forEach(({ open, frets }, string) => {
    const fret = note - open;
    if (fret < 0 || fret > frets.length) return;
    if (best === null || fret < best.fret) best = { string, fret };
  });
  return best;
}

/** What the fingers do to play a tune on an instrument. Notes that it does not have are left out. */
export function gesturesOf(tune: readonly TuneNote[], instrument: StringsInstrument): Gesture[] {
  return tune.flatMap(({ beat, note, beats, strength }) => {
    const place = placeOf(instrument, note);
    if (!place) return [];
    const at = Math.round(FIRST + beat * BEAT);
    const until = Math.round(at + beats * BEAT);
    const { frets, pluck } = instrument.strings[place.string]!;
    const plucked: Gesture = { pad: pluck, at, until: at + PLUCK_FOR, strength };
    if (place.fret === 0) return [plucked];
    const fretted = { pad: frets[place.fret - 1]!, at: at - FRET_AHEAD, until, strength: 1 };
    return [fretted, plucked];
  });
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

/** How long the demo lasts, with a bar to let the last note ring. */
export const DEMO_LENGTH: Micros = Math.round(FIRST + (BARS.length + 1) * BEATS_PER_BAR * BEAT);

/** The demo's raw readings: the tune on a made-up unit, the same ones for the same seed. */
export function demoReadings(
  instrument: StringsInstrument,
  pads: number,
  seed = 1,
): Generator<Scan, void> {
  const gestures = gesturesOf(demoTune(), instrument);
  return readingsOf(gestures, demoUnit(pads, seed), DEMO_LENGTH, seed);
}
