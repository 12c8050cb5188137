import { describe, expect, it } from 'vitest';
import { BASS } from '../support/bass.js';
import { goneAt, touchedShare, type Contact } from './contact.js';
import { playTune, type Played } from './player.js';
import { deviation, mean } from './statistics.js';
import type { Tune } from './tune.js';
import { TUNES } from './tunes.js';

const SEEDS = Array.from({ length: 10 }, (_, i) => i + 1);
const FAST = TUNES.find(({ name }) => name === 'plank across the ditch')!;
const CASES = TUNES.flatMap((tune) => SEEDS.map((seed) => ({ tune, seed })));
const play = (options: Parameters<typeof playTune>[3] = {}): { tune: Tune; played: Played }[] =>
  CASES.map(({ tune, seed }) => ({ tune, played: playTune(tune, BASS, seed, options) }));

const on = (contacts: readonly Contact[], pad: number, t: number): number =>
  Math.max(0, ...contacts.filter((one) => one.pad === pad).map((one) => touchedShare(one, t)));

/** The fret that a string has at a time: the highest one that is at least a fifth touched. */
function stopped(contacts: readonly Contact[], string: number, t: number): number {
  const { frets } = BASS.strings[string]!;
  return frets.reduce((stop, pad, i) => (on(contacts, pad, t) > 0.2 ? i + 1 : stop), 0);
}

describe('a careful player', () => {
  const all = play();

  it('plays the notes of the tune, in time as people tap: off by about 4 ms', () => {
    const off: number[] = [];
    for (const { tune, played } of all) {
      const beat = 60_000_000 / tune.tempo;
      expect(played.wanted).toHaveLength(tune.notes.length);
      for (const note of tune.notes) {
        const pitch = BASS.strings[note.string]!.open + note.fret;
        const t = 1_500_000 + note.beat * beat;
        const own = played.wanted.filter(
          (one) => one.note === pitch && Math.abs(one.t - t) < 13_000,
        );
        expect(own).toHaveLength(1);
        off.push(own[0]!.t - t);
        expect(Math.abs(own[0]!.strength - note.strength)).toBeLessThan(0.2);
      }
    }
    // Draws are cut at three deviations, which takes 1.3 % off the deviation.
    expect(Math.abs(deviation(off) / 4_000 - 0.987)).toBeLessThan(4 / Math.sqrt(2 * off.length));
    expect(Math.abs(mean(off))).toBeLessThan((4 * 4_000) / Math.sqrt(off.length));
  });

  it('begins a pluck where a note is wanted, and peaks as it is meant', () => {
    for (const { played } of all) {
      const plucks = played.contacts.filter(({ kind }) => kind === 'pluck');
      expect(plucks.map(({ at }) => at)).toEqual(played.wanted.map(({ t }) => t));
      const ratios = plucks.map(({ peak }, i) => peak / played.wanted[i]!.strength);
      expect(Math.max(...ratios.map((ratio) => Math.abs(ratio - 1)))).toBeLessThanOrEqual(0.0451);
    }
  });

  it('has the right fret down from before the pluck, and nothing higher, fast passages too', () => {
    for (const { played } of all) {
      for (const { t, string, fret, end } of played.wanted) {
        expect(stopped(played.contacts, string, t)).toBe(fret);
        // Also while the pluck lands.
        expect(stopped(played.contacts, string, t + 15_000)).toBe(fret);
        expect(end).toBeGreaterThan(t);
      }
    }
  });

  it('frets 30 to 120 ms ahead of a note that it is pressed for', () => {
    const ahead = all.flatMap(({ played }) =>
      played.contacts
        .filter(({ kind }) => kind === 'fret')
        .map(({ at, pad }) => {
          const string = BASS.strings.findIndex(({ frets }) => frets.includes(pad));
          return played.wanted.find((one) => one.string === string && one.t > at)!.t - at;
        }),
    );
    expect(Math.min(...ahead)).toBeGreaterThanOrEqual(30_000 - 1);
    expect(Math.max(...ahead)).toBeLessThanOrEqual(120_000 + 1);
    expect(mean(ahead)).toBeGreaterThan(60_000);
  });

  it('overlaps fingers on one string, and lifts the higher one just before a lower note', () => {
    let [overlaps, shortly] = [0, 0];
    for (const seed of SEEDS) {
      const { contacts, wanted } = playTune(FAST, BASS, seed);
      for (const { pads, t } of wanted.map(({ t, string }) => ({
        pads: BASS.strings[string]!.frets,
        t,
      }))) {
        const frets = contacts.filter(({ pad }) => pads.includes(pad));
        if (frets.filter((one) => one.at < t - 20_000 && goneAt(one) > t - 60_000).length > 1)
          overlaps++;
        if (frets.some((one) => goneAt(one) < t && goneAt(one) > t - 20_000)) shortly++;
      }
    }
    expect(overlaps).toBeGreaterThan(50);
    expect(shortly).toBeGreaterThan(50);
  });

  it('never lands twice on a pad at once, and is the same for the same seed', () => {
    for (const { played } of all) {
      const last = new Map<number, number>();
      for (const one of played.contacts) {
        expect(one.at).toBeGreaterThan(last.get(one.pad) ?? -1);
        last.set(one.pad, goneAt(one));
      }
    }
    expect(playTune(FAST, BASS, 4)).toEqual(playTune(FAST, BASS, 4));
    expect(playTune(FAST, BASS, 4)).not.toEqual(playTune(FAST, BASS, 5));
  });
});
