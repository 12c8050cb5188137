import type { Facts, ReasonKind } from './reason.js';
import { spanWords } from '../compare/words.js';

/** What the words of a reason need to know. */
export interface Names {
  pad(pad: number): string;
  pitch(note: number): string;
  seat(seat: number): string;
  /** The seat that is explained. */
  readonly own: number;
}

type Words = (facts: Facts, names: Names) => string;

const number = (facts: Facts, key: string): number => Number(facts[key] ?? 0);
const level = (facts: Facts, key: string): string => number(facts, key).toFixed(2);
const span = (facts: Facts, key: string): string => spanWords(number(facts, key));
const text = (facts: Facts, key: string): string => String(facts[key] ?? '');
const pad = (facts: Facts, key: string, names: Names): string | null =>
  facts[key] === null || facts[key] === undefined ? null : names.pad(number(facts, key));

function raisedWords(facts: Facts): string {
  const rule = number(facts, 'rule');
  const limit = number(facts, 'limit');
  if (limit <= rule + 1e-9) return `touch.on ${String(rule)}`;
  return `touch.on ${String(rule)}, which this pad's noise raises to ${limit.toFixed(2)}`;
}

function brushWords(facts: Facts, names: Names): string {
  const beside = pad(facts, 'beside', names);
  if (beside === null) return 'a string beside it was just being plucked';
  return `weak, at ${level(facts, 'shown')}, beside a firm pluck of ${beside.replace(/ pluck$/, '')}, at ${level(facts, 'reach')}`;
}

/** Sentences without their full stop; the rules that decided are put behind them. */
export const REASON_WORDS: Readonly<Record<ReasonKind, Words>> = {
  'under-on': (f) => `level ${level(f, 'level')} stayed under ${raisedWords(f)}`,
  learning: () =>
    'the pad was not calibrated, and its rest was still being watched: touches do not count yet',
  blocked: (f) =>
    `it has not been at rest since the start, so it may not begin: level ${level(f, 'level')}`,
  ended: () => 'everything was ended while it was down, so that it must be let go first',
  flicker: (f) =>
    `it was gone with the next reading, and level ${level(f, 'level')} is not far enough over the noise for a touch`,
  dipped: (f) =>
    `the level fell only to ${level(f, 'level')}, not under ${level(f, 'limit')}, so it is still the touch before`,
  bounced: (f) => `let go for only ${span(f, 'lasted')}, so it is still the touch before`,
  resting: (f) => `the finger took ${span(f, 'took')} to land, so it only rests there`,
  brush: (f, names) =>
    `${brushWords(f, names)}, and over after ${span(f, 'lasted')}: it only brushed the string`,
  stopped: () => 'everything was ended before a note came of it',
  'fret-only': (f) => `fret ${text(f, 'fret')} alone sounds nothing: it waits for a pluck`,
  'fret-lift': (f) => `letting go of fret ${text(f, 'fret')} sounds nothing`,
  'left-to-pluck': (f) => `fret ${text(f, 'fret')} waited for a pluck to sound it`,
  deaf: (f) => `it came ${span(f, 'after')} after the hit before, for which the pad is still deaf`,
  'no-fingering': (f) => `the chart has no fingering ${text(f, 'fingering')}`,
  'mouth-short': (f, names) => {
    const moved = pad(f, 'moved', names);
    const last = moved === null ? '' : `; the last one to move was ${moved}`;
    return `the mouth left after ${span(f, 'lasted')}, before the fingers had come to rest${last}`;
  },
  'finger-passing': (f) => `the fingers did not rest on ${text(f, 'fingering')} for long enough`,
  'own-logic': () => 'a module of your own plays here, and decides',
  unclear: () => 'the playing logic made nothing of it, and no single rule changes that',

  plucked: () => 'its pluck pad was touched',
  pressed: () => 'its key was touched',
  hit: () => 'its pad was hit',
  weak: (f) => `the touch was weak, level ${level(f, 'level')}, but enough`,
  open: () => 'no fret was held: the open string',
  fret: (f) => `fret ${text(f, 'fret')} was held${heldWords(f)}`,
  'of-several': (f) => `fret ${text(f, 'others')} was held too, and fret ${text(f, 'fret')} counts`,
  'early-lift': (f) =>
    `fret ${text(f, 'fret')} had let go ${span(f, 'before')} before, and still counts`,
  'missed-early': (f) =>
    `fret ${text(f, 'fret')} had let go ${span(f, 'before')} before, too early to count`,
  'missed-late': (f) =>
    `fret ${text(f, 'fret')} came ${span(f, 'after')} after the pluck, too late to count`,
  'near-fret': (f) =>
    `fret ${text(f, 'fret')} reached level ${level(f, 'level')} only, under the ${level(f, 'limit')} at which a touch begins`,
  'waited-fret': (f) => `the pluck waited ${span(f, 'by')} for a fret`,
  'waited-brush': (f, names) =>
    `it waited ${span(f, 'by')} to be told from a brush: ${brushWords(f, names)}`,
  'waited-strength': (f) =>
    `it waited ${span(f, 'by')} for the strength of a string beside it that was just being plucked`,
  late: (f) =>
    `fret ${text(f, 'fret')} came ${span(f, 'after')} after the pluck, and the pluck was meant for it`,
  hammer: (f) => `fret ${text(f, 'fret')} was pressed on the sounding string`,
  pull: (f) => `a fret was let go, and fret ${text(f, 'fret')} was held below it`,
  slide: (f) => `the finger went on to fret ${text(f, 'fret')} beside it`,
  'waited-pluck': (f) => `it waited ${span(f, 'by')} for a pluck, and none came`,
  blown: (f) => `the pipe was blown with the fingers at ${text(f, 'fingering')}`,
  'waited-fingers': (f, names) => {
    const moved = pad(f, 'pad', names);
    const last = moved === null ? '' : `; ${moved} was the last one to move`;
    return `it waited ${span(f, 'by')} for the fingers to come to rest${last}`;
  },
  fingered: (f) =>
    `the fingers rested at ${text(f, 'fingering')} for ${span(f, 'after')} while the pipe was blown`,

  'fret-lifted': (f) => `fret ${text(f, 'fret')} was let go`,
  again: () => 'it was touched again',
  rang: (f) => `it had rung for ${span(f, 'after')}`,
  'damped-fret': (f) => `fret ${text(f, 'fret')} was pressed, which damps the open string`,
  'damped-hold': (f) => `the pluck pad was held for ${span(f, 'held')}, which damps the string`,
  'no-slide': () => 'its fret was let go, and no slide came after it',
  slurred: (f) => `it was carried on to the next note (${text(f, 'how')})`,
  'finger-left': () => 'the finger left its key',
  'rang-on': () => 'the finger had left its key, and it had rung on',
  'hit-over': () => 'a hit lasts so long',
  'mouth-left': () => 'the mouth, or the last finger, left',
  'not-in-chart': (f) => `the chart has no fingering ${text(f, 'fingering')}`,
  'heard-out': () => 'the mouth had left already, and the note was heard out',
  reset: (f) => `everything was ended (${text(f, 'why')})`,
  'take-end': (f) =>
    f.whole === 'yes' ? 'the take ended' : 'it goes on beyond what was looked at',
  yielded: (f, names) => {
    const by = names.pitch(number(f, 'by'));
    const seat = number(f, 'seat') === names.own ? '' : ` of ${names.seat(number(f, 'seat'))}`;
    return `it gave its place to ${by}${seat}: too many notes sounded`;
  },
  silenced: () => 'somebody changed the room, and it was silent from then on',
  limited: () => 'other rules came with a lower limit of voices',
  'ended-by-logic': () => 'the playing logic ended it',

  'no-place': () => 'there was no place for it: too many notes sounded',
  muted: () => 'the seat was muted',
  'not-solo': () => 'another seat was solo',
  moved: (f, names) =>
    `the room's scale moved it from ${names.pitch(number(f, 'from'))} to ${names.pitch(number(f, 'to'))}`,
};

const ROOM_KEYS: Readonly<Record<string, string>> = {
  'room.voices': "the room's voices",
  'room.scale': "the room's scale",
  'room.mute': "the seat's mute",
  'room.solo': 'solo',
};

/** A rule and its value, or what of the room it is. */
export function ruleWords(key: string, value: string): string {
  return `${ROOM_KEYS[key] ?? key} ${value}`;
}

function heldWords(facts: Facts): string {
  const held = number(facts, 'held');
  if (held >= 0) return `, ${spanWords(held)} before the pluck`;
  return `, ${spanWords(-held)} after the pluck was felt`;
}
