import { describe, expect, it } from 'vitest';
import { blocksOf, briefOf } from '../../src/fit/blocks.js';
import { against, markOf, totalOf, withoutGuesses } from '../../src/fit/marks.js';
import type { ListedNote } from '../../src/takes/read-notes.js';
import { score } from '../../src/score/score.js';
import { checkScore } from '../sim/check-score.js';
import { randomOf } from '../sim/random.js';
import { mark } from './hands.js';
import { note, shifted } from '../score/notes.js';

const WHOLE = { from: -Infinity, to: Infinity };
const heard = ({ onset, note: pitch }: ListedNote) => ({ t: onset, note: pitch });

describe('a mark', () => {
  it('counts as the score does, and as the simulator’s own scorer', () => {
    const random = randomOf(1, 'marks');
    for (let i = 0; i < 50; i++) {
      const wanted = Array.from({ length: 40 }, (_, k) =>
        note(200 * k, null, 30 + Math.floor(4 * random.next()), { strength: random.next() }),
      );
      const played = wanted.flatMap((one) => {
        if (random.chance(0.1)) return [];
        const moved = { ...one, onset: one.onset + Math.round(random.between(0, 60_000)) };
        return random.chance(0.1) ? [moved, note(moved.onset / 1000 + 90, null, 30)] : [moved];
      });
      const { f, missed, added } = score(wanted, played);
      const own = markOf(wanted, played, WHOLE);
      expect(totalOf([own]).f).toBeCloseTo(f, 12);
      expect(own.missed.length).toBe(missed.length);
      expect(own.missed.map((k) => wanted[k]!.onset)).toEqual(missed.map(({ onset }) => onset));
      expect(own.added).toBe(added.length);
      expect(totalOf([own]).f).toBeCloseTo(checkScore(wanted.map(heard), played.map(heard)).f, 12);
    }
  });

  it('tells one of two notes wanted at once from the other', () => {
    const chord = [note(100, null, 40), note(100, null, 44), note(100, null, 47)];
    expect(markOf(chord, [chord[0]!, chord[2]!], WHOLE).missed).toEqual([1]);
    expect(markOf([chord[0]!, chord[0]!], [chord[0]!], WHOLE).missed).toHaveLength(1);
  });

  it('is late as its right notes are, on average', () => {
    const wanted = [note(0), note(500), note(1000)];
    const { late } = totalOf([markOf(wanted, shifted(wanted.slice(1), 12), WHOLE)]);
    expect(late).toBeCloseTo(12, 9);
  });
});

describe('the notes of a unit without a build', () => {
  it('say nothing of strength until three touches of a string', () => {
    const notes = [0, 1, 2, 3, 4].flatMap((k) => [
      note(500 * k, null, 40, { velocity: 90, string: 0 }),
      note(500 * k + 200, null, 45, { velocity: 90, string: 1 }),
    ]);
    const known = withoutGuesses(notes.toReversed()).filter(({ velocity }) => velocity !== null);
    expect(known.map(({ onset }) => onset)).toEqual(notes.slice(6).map(({ onset }) => onset));
    const wanted = notes.map((one) => ({ ...one, velocity: 80 }));
    expect(markOf(wanted, withoutGuesses(notes), WHOLE)).toMatchObject({ told: 4, off: 40 });
  });
});

describe('two marks', () => {
  it('are compared note by note: as many errors may be others', () => {
    const { fixed, broken, found, lost } = against([mark([1, 2], 3)], [mark([2, 5], 1)]);
    expect({ fixed, broken, found, lost }).toEqual({ fixed: 1, broken: 3, found: 1, lost: 1 });
  });

  it('do not let one take’s notes make up for another’s unseen', () => {
    const [a, b] = [
      [mark([]), mark([7, 8])],
      [mark([7, 8]), mark([])],
    ];
    expect(against(a, b)).toMatchObject({ fixed: 2, broken: 2 });
  });
});

describe('blocks', () => {
  const tune = Array.from({ length: 120 }, (_, i) => note(400 * i + 600 * Math.floor(i / 8)));

  it('are takes, where there are several', () => {
    expect(blocksOf([tune, tune], 50_000).map(({ take, part }) => [take, part])).toEqual([
      [0, 0],
      [1, 0],
    ]);
  });

  it('are parts of a single one, cut where nothing sounds, and every note is in one', () => {
    const blocks = blocksOf([tune], 50_000);
    expect(blocks.length).toBe(4);
    const counts = blocks.map(
      ({ stretch: { from, to } }) => tune.filter(({ onset }) => onset >= from && onset < to).length,
    );
    expect(counts.reduce((a, b) => a + b)).toBe(120);
    expect(Math.min(...counts)).toBeGreaterThan(15);
    for (const { stretch } of blocks.slice(1)) {
      for (const { onset } of tune) expect(Math.abs(onset - stretch.from)).toBeGreaterThan(100_000);
    }
  });

  it('are one, where it is never silent', () => {
    const busy = Array.from({ length: 300 }, (_, i) => note(90 * i));
    expect(blocksOf([busy], 50_000)).toHaveLength(1);
    expect(briefOf(busy, 50_000)).toBeNull();
  });

  it('begin with half a minute, of a take that is much longer', () => {
    expect(briefOf(tune, 50_000)! / 1e6).toBeCloseTo(30, 0);
    expect(briefOf(tune.slice(0, 60), 50_000)).toBeNull();
  });
});
