import type { StringsInstrument } from '../../src/instrument/types.js';
import { randomOf, type Random } from './random.js';

/** One note: string counted from 0 in the order of the instrument file, fret 0 is the open string. */
export interface SimNote {
  readonly beat: number;
  readonly string: number;
  readonly fret: number;
  readonly beats: number;
  /** What the player means, 0 to 1. */
  readonly strength: number;
}

export interface Tune {
  readonly name: string;
  /** Beats a minute. */
  readonly tempo: number;
  /** In the order of beats. */
  readonly notes: readonly SimNote[];
}

/** The strings of the bass by a letter: G is the first in its file, E the last. */
const STRINGS = 'GDAE';

/**
 * Reads a tune: words for one beginning each, `E3/.5:70` is fret 3 of string E for half a beat at
 * strength 70 %, `A2+G4/1:60` two strings at once, `-/1` a rest.
 */
export function tuneOf(name: string, tempo: number, text: string): Tune {
  let beat = 0;
  const notes: SimNote[] = [];
  for (const word of text.trim().split(/\s+/)) {
    const match = /^(-|[GDAE]\d(?:\+[GDAE]\d)*)\/([\d.]+)(?::(\d+))?$/.exec(word);
    if (!match) throw new Error(`no note of a tune: ${word}`);
    const beats = Number(match[2]);
    if (match[1] !== '-') {
      if (match[3] === undefined) throw new Error(`no strength: ${word}`);
      for (const place of match[1]!.split('+')) {
        notes.push({
          beat,
          string: STRINGS.indexOf(place[0]!),
          fret: Number(place[1]),
          beats: beats * 0.9,
          strength: Number(match[3]) / 100,
        });
      }
    }
    beat += beats;
  }
  return { name, tempo, notes };
}

/** No louder than full, and strong enough that a finger really lands. */
export const SOFTEST_NOTE = 0.4;

/** How the next note of a random tune is reached, and how often of ten. */
type Move = 'repeat' | 'fret' | 'open' | 'string' | 'both';
const MOVES: readonly Move[] = [
  ...(['repeat', 'repeat', 'fret', 'fret', 'fret'] as const),
  ...(['open', 'string', 'string', 'string', 'both'] as const),
];

/** A tune that nobody made: `count` beginnings in sixteenths, eighths and quarters. */
export function randomTune(seed: number, instrument: StringsInstrument, count = 48): Tune {
  const random = randomOf(seed, 'tune');
  const { strings } = instrument;
  const notes: SimNote[] = [];
  let string = Math.floor(random.next() * strings.length);
  let fret = 0;
  let beat = 0;
  const anyFret = (of: number): number =>
    Math.floor(random.next() * (strings[of]!.frets.length + 1));
  for (let i = 0; i < count; i++) {
    const move = random.pick(MOVES);
    if (move === 'string' || move === 'both') string = otherString(string, strings.length, random);
    if (move === 'open') fret = 0;
    else if (move !== 'repeat') fret = anyFret(string);
    fret = Math.min(fret, strings[string]!.frets.length);
    const beats = random.pick([0.25, 0.25, 0.5, 0.5, 0.5, 1]);
    const strength = random.between(SOFTEST_NOTE, 1);
    notes.push({ beat, string, fret, beats: beats * 0.9, strength });
    if (move === 'both') {
      const other = otherString(string, strings.length, random);
      const second = { beat, string: other, fret: anyFret(other), beats: beats * 0.9 };
      notes.push({ ...second, strength: Math.max(SOFTEST_NOTE, strength - 0.05) });
    }
    beat += beats;
  }
  return { name: `random ${String(seed)}`, tempo: Math.round(random.between(84, 112)), notes };
}

function otherString(string: number, count: number, random: Random): number {
  if (count < 2) return string;
  return (string + 1 + Math.floor(random.next() * (count - 1))) % count;
}
