import type { Gesture } from '../../src/demo/gestures.js';
import { readingsOf, seededNumbers } from '../../src/demo/gestures.js';
import { demoUnit } from '../../src/demo/demo.js';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import { SECOND } from '../../src/time/micros.js';
import { BASS } from './bass.js';

/** The text of a take in which a bass is played without a pause: five plucks a second, some fretted. */
export function busyTake(seconds: number, seed = 7): string {
  const random = seededNumbers(seed);
  const gestures: Gesture[] = [];
  for (let at = SECOND; at < (seconds - 1) * SECOND; at += SECOND / 5) {
    const { frets, pluck } = BASS.strings[Math.floor(random() * 4)]!;
    const strength = 0.7 + 0.3 * random();
    gestures.push({ pad: pluck, at, until: at + 80_000, strength });
    const fret = Math.floor(random() * 5);
    if (fret > 0)
      gestures.push({ pad: frets[fret - 1]!, at: at - 50_000, until: at + 150_000, strength: 1 });
  }
  const lines = [formatHeader({ take: 1, inputs: 20, full: 16_383, instrument: 'bass-4x4' })];
  for (const scan of readingsOf(gestures, demoUnit(20, seed), seconds * SECOND, seed)) {
    lines.push(formatTakeLine(scan));
  }
  return `${lines.join('\n')}\n`;
}
