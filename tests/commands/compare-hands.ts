import type { Gesture } from '../../src/demo/gestures.js';
import { readingsOf } from '../../src/demo/gestures.js';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import { BASS } from '../support/bass.js';
import { A1, D2, E1, G2, plucked, UNIT } from './performance.js';

const ms = (value: number): number => value * 1_000;
const { frets, pluck } = BASS.strings[A1]!;

/**
 * Twelve seconds, each part of which one rule plays otherwise: E1 open, which rings out; A1 plucked
 * with fret 3 down and then fret 1 too; a chord on three strings; G2 fret 2, to which fret 4 is added later.
 */
const GESTURES: readonly Gesture[] = [
  ...plucked(E1, 0, 1_000, 0, 1),
  { pad: frets[0]!, at: ms(6_000), until: ms(6_600), strength: 1 },
  { pad: frets[2]!, at: ms(5_900), until: ms(6_600), strength: 1 },
  { pad: pluck, at: ms(6_100), until: ms(6_180), strength: 0.9 },
  ...[A1, D2, G2].flatMap((string) => plucked(string, 1, 8_000, 8_500)),
  ...plucked(G2, 2, 10_000, 10_600),
  { pad: BASS.strings[G2]!.frets[3]!, at: ms(10_300), until: ms(10_800), strength: 1 },
];

export function compareTake(header: object = {}): string {
  const lines = [
    formatHeader({ take: 1, inputs: 20, full: 16_383, instrument: 'bass-4x4', ...header }),
    ...Array.from(readingsOf(GESTURES, UNIT, ms(12_000), 11), formatTakeLine),
  ];
  return `${lines.join('\n')}\n`;
}
