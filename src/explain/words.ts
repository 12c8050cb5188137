import type { PlayedNote } from '../compare/notes.js';
import { pitchWords, placesOf, placeWords } from '../compare/places.js';
import { sizeWords, timeWords } from '../compare/words.js';
import type { Explanation } from './explain.js';
import type { Flip } from './flips.js';
import type { Found, Happening } from './happenings.js';
import { REASON_WORDS, ruleWords, type Names } from './reason-words.js';

/** What else the words need: where the take is, and who plays in it. */
export interface Titles {
  readonly path: string;
  readonly seats: readonly string[];
  readonly seat: number;
}

export function namesOf({ padNames, instrument }: Explanation, { seats, seat }: Titles): Names {
  return {
    pad: (pad) => padNames[pad] ?? `pad ${String(pad)}`,
    pitch: (note) => pitchWords(note, instrument),
    seat: (one) => seats[one] ?? `seat ${String(one + 1)}`,
    own: seat,
  };
}

/** A note with its time, and its place where that is not its name. */
export function noteWords(note: PlayedNote, instrument: Explanation['instrument']): string {
  const pitch = pitchWords(note.note, instrument);
  const place = placeWords(note, instrument);
  return `${pitch} at ${timeWords(note.onset)}${place === pitch ? '' : ` (${place})`}`;
}

/** What it is about, in a few words. */
export function headOf(one: Happening, { instrument }: Explanation, names: Names): string {
  const { note, pad, place, t } = one;
  if (note?.played) return noteWords(note.played, instrument);
  const what = pad === null ? (placesOf(instrument)[place ?? -1]?.name ?? '') : names.pad(pad);
  const pitch = note ? ` (it would be ${pitchWords(note.on.note, instrument)})` : '';
  return `No note from ${what} at ${timeWords(t)}${pitch}`;
}

/** A reason, and the rules that were found to decide. */
export function reasonWords({ kind, facts, shown }: Found, names: Names): string {
  const told = REASON_WORDS[kind](facts, names);
  const words =
    kind === 'under-on' && shown.length === 0
      ? `${told}; a lower touch.on alone would make no note of it`
      : told;
  const keys = shown.filter(({ key, value }) => !words.includes(`${key} ${value}`));
  if (keys.length === 0) return words;
  return `${words} (${keys.map(({ key, value }) => ruleWords(key, value)).join(', ')})`;
}

/** What another value of a rule would have made of a note, in words. */
export function flipWords(
  { note, other, changes, goesOn }: Flip,
  instrument: Explanation['instrument'],
): string {
  if (!note) return `there would be ${noteWords(other!, instrument)}`;
  const name = `${pitchWords(note.note, instrument)} at ${timeWords(note.onset)}`;
  if (!other) return `there would be no ${name}`;
  const words = changes.map(({ kind, by }) => {
    if (kind === 'pitch') return pitchWords(other.note, instrument);
    return kind === 'longer' && goesOn ? 'longer' : `${sizeWords(kind, by ?? 0)} ${kind}`;
  });
  return `${name} would be ${words.join(', ')}`;
}
