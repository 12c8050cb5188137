import type { PlayedNote } from '../../compare/notes.js';
import type { Explanation } from '../../explain/explain.js';
import type { Flip } from '../../explain/flips.js';
import type { Found } from '../../explain/happenings.js';
import { headOf, namesOf, reasonWords, type Titles } from '../../explain/words.js';

/**
 * The explanation as one object, version 1 of its shape. Times are in microseconds from the start of
 * the take.
 *
 *     { explain: 1, take, seat, at, from, to, instrument, rules,
 *       pads: [{ pad, name, first, peak, touches, near }],  // of src/explain/pads.ts
 *       happenings: [{ t, place, pad, words,
 *                      note: { made, sounded } | null,      // made: pitch by the playing logic
 *                      ended,
 *                      reasons: [{ kind, facts, keys, decided: [key], words }],
 *                      ends: the same }],
 *       checked: [{ key, value, to, note, other, changes }], // all that other rules would change
 *       sounding: [note], before: note | null, after: note | null }
 */
export function explainJson(explained: Explanation, titles: Titles): unknown {
  const { at, from, to, instrument, rules, pads, happenings, flips } = explained;
  const names = namesOf(explained, titles);
  const found = (one: Found): unknown => ({
    kind: one.kind,
    facts: one.facts,
    keys: one.keys,
    decided: one.shown.map(({ key }) => key),
    words: reasonWords(one, names),
  });
  return {
    explain: 1,
    take: titles.path,
    seat: titles.seats[titles.seat] ?? null,
    at,
    from,
    to,
    instrument: instrument.name,
    rules: rules.name,
    pads,
    happenings: happenings.map((one) => ({
      t: one.t,
      place: one.place,
      pad: one.pad,
      words: headOf(one, explained, names),
      note: one.note && { made: one.note.on, sounded: noteJson(one.note.played) },
      ended: one.ended,
      reasons: one.reasons.map(found),
      ends: one.ends.map(found),
    })),
    checked: flips.map(flipJson),
    sounding: explained.sounding.map(noteJson),
    before: noteJson(explained.before),
    after: noteJson(explained.after),
  };
}

function flipJson({ note, other, ...rest }: Flip): unknown {
  return { ...rest, note: noteJson(note), other: noteJson(other) };
}

function noteJson(note: PlayedNote | null): unknown {
  if (!note) return null;
  const { onset, offset, note: pitch, velocity, strength, string, fret, how } = note;
  return { onset, offset, note: pitch, velocity, strength, string, fret, how };
}
