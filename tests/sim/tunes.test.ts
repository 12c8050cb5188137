import { describe, expect, it } from 'vitest';
import { BASS } from '../support/bass.js';
import { randomTune, tuneOf, type Tune } from './tune.js';
import { TUNES } from './tunes.js';

const ALL: readonly Tune[] = [...TUNES, ...[1, 2, 3].map((seed) => randomTune(seed, BASS))];

describe('a tune as text', () => {
  it('gives beats, places, lengths and strengths', () => {
    const { notes } = tuneOf('x', 100, 'E3/.5:70 -/1 A2+G4/1:60');
    expect(notes).toEqual([
      { beat: 0, string: 3, fret: 3, beats: 0.45, strength: 0.7 },
      { beat: 1.5, string: 2, fret: 2, beats: 0.9, strength: 0.6 },
      { beat: 1.5, string: 0, fret: 4, beats: 0.9, strength: 0.6 },
    ]);
  });

  it.each(['H0/1:50', 'E0/1', 'E/1:50'])('refuses %s', (word) => {
    expect(() => tuneOf('x', 100, word)).toThrow(word);
  });
});

describe('the tunes', () => {
  it('are at least six, and ask for what is hard: repeats, fast frets, open strings, two at once', () => {
    expect(TUNES.length).toBeGreaterThanOrEqual(6);
    const steps = TUNES.flatMap(({ tempo, notes }) =>
      notes.map((note, i) => {
        const before = notes.slice(0, i).findLast(({ string }) => string === note.string);
        const gap = before ? ((note.beat - before.beat) * 60_000) / tempo : Infinity;
        const together = notes.some((one) => one !== note && one.beat === note.beat);
        return { note, gap, change: note.fret - (before?.fret ?? note.fret), together };
      }),
    );
    expect(steps.filter(({ gap, change }) => gap < 150 && change < 0).length).toBeGreaterThan(10);
    expect(steps.filter(({ gap, change }) => gap < 150 && change > 0).length).toBeGreaterThan(10);
    expect(steps.filter(({ gap, change }) => gap < 150 && change === 0).length).toBeGreaterThan(8);
    expect(steps.filter(({ note }) => note.fret === 0).length).toBeGreaterThan(40);
    expect(steps.filter(({ together }) => together).length).toBeGreaterThan(20);
  });

  it.each(ALL.map((tune) => [tune.name, tune] as const))(
    '%s fits the bass and is playable',
    (_, tune) => {
      const { notes, tempo } = tune;
      const levels = new Set(notes.map(({ strength }) => strength));
      // Few ties, so that a rank correlation says something.
      expect(levels.size).toBeGreaterThan(0.45 * notes.length);
      notes.forEach(({ beat, string, fret, strength }, i) => {
        expect(fret).toBeLessThanOrEqual(BASS.strings[string]!.frets.length);
        expect(strength).toBeGreaterThanOrEqual(0.4);
        expect(strength).toBeLessThanOrEqual(1);
        const next = notes.slice(i + 1).find((one) => one.string === string);
        // A hand plucks one string at most about eight times a second.
        if (next) expect(((next.beat - beat) * 60) / tempo).toBeGreaterThan(0.12);
      });
    },
  );

  it('that nobody made are the same for the same seed', () => {
    expect(randomTune(9, BASS)).toEqual(randomTune(9, BASS));
    expect(randomTune(9, BASS).notes).not.toEqual(randomTune(10, BASS).notes);
  });
});
