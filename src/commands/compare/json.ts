import { CHANGE_KINDS, SAME_TIME } from '../../compare/compare.js';
import { begin } from '../../compare/match.js';
import type { PlayedNote } from '../../compare/notes.js';
import type { Score } from '../../score/score.js';
import type { Comparison, Run } from '../../compare/run.js';

/**
 * The comparison as one object, version 1 of its shape. Times are in microseconds from the start of
 * the take, strings and frets as in a notes file.
 *
 *     { compare: 1, take, instrument, length,
 *       window,                        // how far onsets of one and the same note may be apart
 *       sameTime,                      // onsets and ends no farther apart are the same
 *       a: { rules, notes, score }, b: the same,
 *                                      // score: { f, precision, recall, right, missed, added } | null
 *       rules: [{ key, a, b, about, matters }],   // keys that differ
 *       alike,                         // how many notes are the same in both
 *       counts: { missed, added, pitch, earlier, later, louder, softer, longer, shorter },
 *       differences: [{ t, string,
 *                       a: { onset, offset, note, velocity, strength, string, fret, how } | null,
 *                       b: the same,
 *                       changes: [{ kind, by }],              // of src/compare/compare.ts
 *                       verdict: { right, nearer } | null }] } // of src/compare/judge.ts
 */
export function compareJson(comparison: Comparison): unknown {
  const { path, instrument, length, within, a, b, rules, notes, judged } = comparison;
  const differences = notes.flatMap((one, index) => {
    if (one.changes.length === 0) return [];
    return [
      {
        t: begin(one),
        string: (one.a ?? one.b).string,
        a: noteJson(one.a),
        b: noteJson(one.b),
        changes: one.changes,
        verdict: judged?.verdicts[index] ?? null,
      },
    ];
  });
  const kinds = differences.flatMap(({ changes }) => changes.map(({ kind }) => kind));
  return {
    compare: 1,
    take: path,
    instrument: instrument.name,
    length,
    window: within,
    sameTime: SAME_TIME,
    a: sideJson(a, judged?.a),
    b: sideJson(b, judged?.b),
    rules,
    alike: notes.length - differences.length,
    counts: Object.fromEntries(
      CHANGE_KINDS.map((kind) => [kind, kinds.filter((one) => one === kind).length]),
    ),
    differences,
  };
}

function sideJson({ name, notes }: Run, score: Score | undefined): unknown {
  if (!score) return { rules: name, notes: notes.length, score: null };
  const { f, precision, recall, matched, missed, added } = score;
  const counts = { right: matched.length, missed: missed.length, added: added.length };
  return { rules: name, notes: notes.length, score: { f, precision, recall, ...counts } };
}

function noteJson(note: PlayedNote | null): unknown {
  if (!note) return null;
  const { onset, offset, note: pitch, velocity, strength, string, fret, how } = note;
  return { onset, offset, note: pitch, velocity, strength, string, fret, how };
}
