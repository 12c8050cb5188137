import { describe, expect, it } from 'vitest';
import { stringRoles } from '../../src/playing/strings.js';
import { align, moved } from '../../src/score/align.js';
import { beatOf, exerciseFor, wantedOf, wantedText } from '../../src/fit/exercise.js';
import { readNotes } from '../../src/takes/read-notes.js';
import { randomOf } from '../sim/random.js';
import { BASS } from '../support/bass.js';
import { notesOn, shipped } from '../support/kinds.js';
import { note, shifted } from '../score/notes.js';

const KINDS = ['bass-4x4', 'ukulele-4x6', 'keys-13', 'pipe-8', 'pipe-8-finger', 'drums-6'];

describe.each(KINDS)('an exercise for %s', (name) => {
  const instrument = shipped(name);
  const steps = exerciseFor(instrument);

  it('has every note that there is, soft and firm, and nothing else', () => {
    const of = (how: string) =>
      new Set(
        steps
          .filter(({ words }) => words.endsWith(how))
          .flatMap(({ notes }) => notes.map((one) => one.note)),
      );
    expect(of(', soft')).toEqual(notesOn(instrument));
    expect(of(', firm')).toEqual(notesOn(instrument));
    expect(new Set(steps.flatMap(({ notes }) => notes.map((one) => one.note)))).toEqual(
      notesOn(instrument),
    );
  });

  it('is on the beat, or half-way, and at one place at a time', () => {
    steps.forEach(({ beat, beats }, i) => {
      expect(2 * beat).toBe(Math.round(2 * beat));
      expect(steps[i + 1]?.beat ?? Infinity).toBeGreaterThanOrEqual(beat + beats);
    });
  });

  it('is read again as its notes were', () => {
    const wanted = wantedOf(steps, 90);
    const { notes, problems } = readNotes(wantedText(wanted));
    expect(problems).toEqual([]);
    expect(notes).toEqual(wanted);
    // 90 beats a minute: two thirds of a second each, after four that are counted.
    expect(wanted[0]!.onset).toBe(Math.round((4 * 2_000_000) / 3));
    expect(beatOf(90)).toBeCloseTo(666_666.67, 1);
  });
});

it('goes over every pad of a strung instrument', () => {
  const frets = new Set<number>();
  for (const { notes } of exerciseFor(BASS)) {
    for (const { note: pitch, string } of notes) {
      frets.add(10 * string + pitch - BASS.strings[string]!.open);
    }
  }
  const pads = stringRoles(BASS).map((role) => 10 * role!.string + role!.fret);
  expect([...frets].sort()).toEqual([...pads].sort());
});

describe('aligning', () => {
  const wanted = wantedOf(exerciseFor(BASS), 80);

  it('finds where a player began who kept the beat as people do', () => {
    const random = randomOf(1, 'align');
    for (const begins of [-2_000, 0, 740, 31_415]) {
      // A third is missed, something else sounds, and taps vary by 20 ms.
      const played = shifted(wanted, begins)
        .filter(() => random.chance(0.67))
        .map((one) => ({
          ...one,
          onset: Math.round(one.onset + random.normal(9_000, 20_000, -60_000, 60_000)),
        }));
      const others = wanted
        .slice(0, 30)
        .map(({ onset }, i) => note(onset / 1000 + 333 * i, null, 41));
      const found = align(wanted, [...played, ...others], 150_000)!;
      expect(Math.abs(found.shift / 1000 - begins)).toBeLessThan(25);
      expect(found.right).toBeGreaterThan(0.9 * played.length);
    }
  });

  it('moves onsets and ends, and finds nothing where nothing fits', () => {
    expect(moved([note(10, 20)], 5_000)).toEqual([note(15, 25)]);
    expect(align(wanted, [note(100, null, 99)], 150_000)).toBeNull();
    expect(align(wanted, [], 150_000)).toBeNull();
  });
});
