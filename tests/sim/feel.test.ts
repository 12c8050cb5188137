import { describe, expect, it } from 'vitest';
import type { VoiceOn } from '../../src/room/voice.js';
import type { ListedNote } from '../../src/takes/read-notes.js';
import { score, type Score } from '../../src/score/score.js';
import { MILLISECOND, SECOND, type Micros } from '../../src/time/micros.js';
import { BASS, PLAIN } from '../support/bass.js';
import { GRADE_NAMES, type GradeName } from './grades.js';
import { ownBuild, ownNotes } from './measuring.js';
import type { Wanted } from './player.js';
import { scansOf } from './readings.js';
import { simulate } from './session.js';
import { mean } from './statistics.js';
import { TUNES } from './tunes.js';

/*
 * The whole way on units of three grades, each calibrated by our own calibration and played by the
 * rules as they come. Scored by the published definition (mir_eval), of which src/score/score.ts is
 * checked against that library.
 */

const SEEDS = [1, 2, 3, 4, 5];
const NAMED = `seven tunes, seeds ${SEEDS.join(' ')}`;
/** The strength waits for one more reading, by choice: one scan at 250 a second. */
const WINDOW: Micros = 4 * MILLISECOND;

const listed = (note: VoiceOn): ListedNote => ({
  onset: note.t,
  offset: null,
  note: note.note,
  velocity: note.velocity,
  strength: null,
  string: null,
});
const meant = ({ t, end, note, strength }: Wanted): ListedNote => ({
  onset: t,
  offset: end,
  note,
  velocity: null,
  strength,
  string: null,
});

const scored = new Map<GradeName, Score[]>();

function scoresOf(grade: GradeName): Score[] {
  const known = scored.get(grade);
  if (known) return known;
  const scores = SEEDS.flatMap((seed) =>
    TUNES.map((tune) => {
      const session = simulate({ grade, seed }, tune);
      const notes = ownNotes(session, ownBuild(session).build, PLAIN);
      return score(session.wanted.map(meant), notes.map(listed));
    }),
  );
  scored.set(grade, scores);
  return scores;
}

/** What is later than the touch beside the strength's window, in ms: of all right notes, sorted. */
function lateness(grade: GradeName): number[] {
  return scoresOf(grade)
    .flatMap(({ matched }) => matched.map((pair) => pair.played.onset - pair.wanted.onset))
    .map((delay) => (delay - WINDOW) / MILLISECOND)
    .sort((a, b) => a - b);
}

const quantile = (sorted: readonly number[], q: number): number =>
  sorted[Math.ceil(q * sorted.length) - 1] ?? NaN;

// Over seeds 1 to 20 ranks are 0.983, 0.977 and 0.953. The delays hold over seeds 1 to 10 together: there
// are worst units (1, 7 and 8; more in 11 to 20) on which more than one soft pluck in a hundred loses
// contact before it is known, and 99 % alone would be 9 to 16 ms, up to 20 in 11 to 20.
describe.each([
  { grade: 'clean', f: 1, rank: 0.98, median: 4, most: 8 },
  { grade: 'usual', f: 1, rank: 0.97, median: 4, most: 8 },
  { grade: 'worst', f: 0.998, rank: 0.94, median: 4, most: 8 },
] as const)('on a $grade unit,', { timeout: 120_000 }, ({ grade, f, rank, median, most }) => {
  it(`F over ${NAMED} is at least ${String(f)}`, () => {
    const scores = scoresOf(grade);
    const right = scores.reduce((sum, { matched }) => sum + matched.length, 0);
    const wrong = scores.reduce((sum, one) => sum + one.missed.length + one.added.length, 0);
    expect(right).toBeGreaterThan(1_100);
    expect((2 * right) / (2 * right + wrong)).toBeGreaterThanOrEqual(f);
  });

  it(`velocity follows strength: mean rank correlation over ${NAMED} is at least ${String(rank)}`, () => {
    const ranks = scoresOf(grade).map(({ velocityRank }) => velocityRank.correlation);
    expect(mean(ranks.map((one) => one ?? 0))).toBeGreaterThanOrEqual(rank);
  });

  it(`notes come at most ${String(median)} ms after touch and strength window at the median, ${String(most)} ms at 99 %, over ${NAMED}`, () => {
    const late = lateness(grade);
    expect(quantile(late, 0.5)).toBeLessThanOrEqual(median);
    expect(quantile(late, 0.99)).toBeLessThanOrEqual(most);
    // And never before it was touched.
    expect(late[0]).toBeGreaterThan(-WINDOW / MILLISECOND);
  });
});

describe('while nobody plays', () => {
  // On the last two, rests wander so fast that one which follows within 3 s lags by three deviations.
  it.each([
    ...GRADE_NAMES.map((grade, i) => [grade, 6 + i] as const),
    ...(['worst', 'worst'] as const).map((grade, i) => [grade, 9 + 3 * i] as const),
  ])(
    'ten minutes of a %s unit, seed %i, give no note, and a pluck of each string after it does',
    { timeout: 120_000 },
    (grade, seed) => {
      const idle = simulate({ grade, seed }, 1);
      const quiet = 600 * SECOND;
      const wanted = BASS.strings.map(({ open, pluck }, i) => ({
        note: open,
        pad: pluck,
        at: quiet + i * SECOND,
      }));
      const contacts = wanted.map(({ pad, at }) => ({
        kind: 'pluck' as const,
        pad,
        at,
        until: at + 90 * MILLISECOND,
        peak: 0.8,
        landing: 7 * MILLISECOND,
        leaving: 5 * MILLISECOND,
        wobble: { hz: 5, depth: 0.03 },
        losses: [],
      }));
      const length = quiet + 5 * SECOND;
      const stretch = { label: 'nobody', contacts, length, begins: idle.take.begins };
      const session = { ...idle, take: { ...idle.take, scans: scansOf(idle.unit, stretch) } };
      expect(session.take.scans.length).toBeGreaterThan(150_000);
      const notes = ownNotes(session, ownBuild(session).build, PLAIN);
      expect(notes.filter(({ t }) => t < quiet)).toEqual([]);
      expect(notes.map(({ note }) => note)).toEqual(wanted.map(({ note }) => note));
    },
  );
});
