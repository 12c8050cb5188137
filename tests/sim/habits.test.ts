import { describe, expect, it } from 'vitest';
import { BASS } from '../support/bass.js';
import { goneAt, type Contact } from './contact.js';
import { playTune, type Played, type PlayerOptions } from './player.js';
import { TUNES } from './tunes.js';

const CASES = TUNES.flatMap((tune) => [1, 2, 3, 4, 5].map((seed) => ({ tune, seed })));
const play = (options: Partial<PlayerOptions> = {}): Played[] =>
  CASES.map(({ tune, seed }) => playTune(tune, BASS, seed, options));

const careful = play();
const PLUCKS = BASS.strings.map(({ pluck }) => pluck);
const fretsOf = (string: number): readonly number[] => BASS.strings[string]!.frets;

/** For each fretted note: how long before its pluck its fret landed and left, of the nearest press. */
function presses({ contacts, wanted }: Played): { landed: number; left: number }[] {
  return wanted
    .filter(({ fret }) => fret > 0)
    .map(({ t, string, fret }) => {
      const own = contacts.filter(
        (one) => one.kind === 'fret' && one.pad === fretsOf(string)[fret - 1],
      );
      const distance = (one: Contact): number => Math.max(one.at - t, t - goneAt(one), 0);
      const nearest = own.reduce((a, b) => (distance(b) < distance(a) ? b : a));
      return { landed: t - nearest.at, left: t - goneAt(nearest) };
    });
}

describe('people who are not careful', () => {
  it('want the same notes, whatever their habits', () => {
    const all = play({ late: 0.3, early: 0.3, brush: 0.3, thumb: true, slide: 0.5, bounce: 0.8 });
    const meant = (played: Played): unknown =>
      played.wanted.map(({ t, note, strength }) => [t, note, strength]);
    expect(all.map(meant)).toEqual(careful.map(meant));
  });

  it('fret 4 to 22 ms late in the share asked for', () => {
    const late = play({ late: 0.3 })
      .flatMap(presses)
      .filter(({ landed }) => landed < 0);
    for (const { landed } of late) {
      expect(-landed).toBeGreaterThanOrEqual(4_000 - 1);
      expect(-landed).toBeLessThanOrEqual(22_000 + 1);
    }
    const presses_ = careful.flatMap(presses).length;
    expect(late.length / presses_).toBeGreaterThan(0.15);
    expect(late.length / presses_).toBeLessThan(0.35);
    expect(careful.flatMap(presses).some(({ landed }) => landed < 0)).toBe(false);
  });

  it('lift 4 to 22 ms early in up to the share asked for, having been down before', () => {
    const early = play({ early: 0.3 })
      .flatMap(presses)
      .filter(({ left }) => left > 0);
    expect(early.length).toBeGreaterThan(60);
    for (const { left, landed } of early) {
      expect(left).toBeGreaterThanOrEqual(4_000 - 1);
      expect(left).toBeLessThanOrEqual(22_000 + 1);
      expect(landed - left).toBeGreaterThan(25_000);
    }
    expect(careful.flatMap(presses).some(({ left }) => left > 0)).toBe(false);
  });

  it('brush the next string with 30 to 60 % of the touch for 10 to 40 ms', () => {
    const all = play({ brush: 0.5 });
    const brushes = all.flatMap(({ contacts, wanted }) =>
      contacts
        .filter(({ kind }) => kind === 'brush')
        .map((brush) => {
          const string = PLUCKS.indexOf(brush.pad);
          const near = wanted.filter(({ t }) => t <= brush.at && t > brush.at - 16_000);
          const from = near.filter((one) => Math.abs(one.string - string) === 1);
          expect(from.length).toBeGreaterThan(0);
          return { brush, shares: from.map(({ strength }) => brush.peak / strength) };
        }),
    );
    expect(brushes.length).toBeGreaterThan(100);
    for (const { brush, shares } of brushes) {
      expect(shares.some((share) => share >= 0.299 && share <= 0.601)).toBe(true);
      expect(goneAt(brush) - brush.at).toBeGreaterThanOrEqual(10_000 - 2);
      expect(goneAt(brush) - brush.at).toBeLessThanOrEqual(40_000 + 2);
    }
  });

  it('rest a thumb, slowly laid, only on pluck pads that are not played meanwhile', () => {
    for (const { contacts, wanted } of play({ thumb: true })) {
      const thumbs = contacts.filter(({ kind }) => kind === 'thumb');
      expect(thumbs.length).toBeGreaterThan(0);
      for (const thumb of thumbs) {
        expect(PLUCKS).toContain(thumb.pad);
        expect(thumb.peak).toBeGreaterThanOrEqual(0.3);
        expect(thumb.peak).toBeLessThanOrEqual(0.6);
        expect(thumb.landing).toBeGreaterThanOrEqual(80_000);
        const string = PLUCKS.indexOf(thumb.pad);
        const own = wanted.filter((one) => one.string === string);
        expect(own.some(({ t }) => t > thumb.at - 249_000 && t < goneAt(thumb) + 249_000)).toBe(
          false,
        );
      }
    }
  });

  it('slide over the frets between, the old one gone when the next is plucked', () => {
    const counts = play({ slide: 1 }).map(({ contacts, wanted }, i) => {
      for (const { t, string, fret } of wanted) {
        const higher = fretsOf(string).slice(fret);
        const still = contacts.filter(
          (one) => higher.includes(one.pad) && one.at <= t && goneAt(one) > t,
        );
        expect(still).toEqual([]);
      }
      return contacts.length - careful[i]!.contacts.length;
    });
    expect(counts.filter((more) => more > 0).length).toBeGreaterThan(20);
  });
});
