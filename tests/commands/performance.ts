import { demoUnit } from '../../src/demo/demo.js';
import { readingsOf, type Gesture, type MadeUnit } from '../../src/demo/gestures.js';
import type { Scan } from '../../src/wire/scan.js';
import { BASS } from '../support/bass.js';

/** Milliseconds in, microseconds out: gestures are easier to read so. */
const ms = (value: number): number => value * 1_000;

export const UNIT: MadeUnit = demoUnit(20, 5);

/** A pluck of a string, stopped at a fret until `until` where `fret` is above 0; times in ms. */
export function plucked(
  string: number,
  fret: number,
  at: number,
  until: number,
  strength = 0.9,
): Gesture[] {
  const { frets, pluck } = BASS.strings[string]!;
  const pluckPad = { pad: pluck, at: ms(at), until: ms(at + 80), strength };
  if (fret === 0) return [pluckPad];
  return [{ pad: frets[fret - 1]!, at: ms(at - 60), until: ms(until), strength: 1 }, pluckPad];
}

/** Strings as BASS has them. */
export const [G2, D2, A1, E1] = [0, 1, 2, 3] as const;

/**
 * Seven seconds on all strings: single notes soft and loud, a chord, one string plucked again and
 * again, an open string that rings out by itself, and one that is still sounding at the end.
 */
export function performance(): Generator<Scan, void> {
  const gestures = [
    ...plucked(E1, 0, 800, 0, 1),
    ...plucked(A1, 2, 1_100, 1_500, 0.6),
    ...[E1, A1, D2, G2].flatMap((string) => plucked(string, 3, 1_900, 2_400, 0.75)),
    ...plucked(D2, 0, 2_600, 0),
    ...[0, 1, 2, 3, 4, 5].flatMap((n) => plucked(G2, 4, 3_000 + 130 * n, 3_900, 0.7 + 0.05 * n)),
    ...plucked(A1, 1, 4_300, 4_900),
    ...plucked(A1, 4, 5_200, 5_600),
    ...plucked(E1, 0, 6_300, 0),
  ];
  return readingsOf(gestures, UNIT, ms(7_000), 11);
}

/** The unit at rest for a while, so that it is learned, then every string plucked and left to ring. */
export function ringing(strings: readonly number[] = [G2, D2, A1, E1]): Generator<Scan, void> {
  const gestures = strings.flatMap((string, i) => plucked(string, 0, 500 + 20 * i, 0));
  return readingsOf(gestures, UNIT, ms(700), 3);
}
