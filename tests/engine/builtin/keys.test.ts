import { describe, expect, it } from 'vitest';
import { frequencyOf } from '../../../src/engine/builtin/frequency.js';
import { Resonators } from '../../../src/engine/builtin/parts/resonators.js';
import {
  centroid,
  centsOff,
  db,
  off,
  on,
  partial,
  peak,
  rendered,
  rms,
  RATE,
  steepest,
} from './helpers.js';
import { seatSound } from '../../support/seat-sound.js';

/** One program of each family, counted from 1: piano, vibraphone, organ, and one for all others. */
const SOUNDS = [1, 12, 20, 90];
const seats = SOUNDS.map((sound) => seatSound({ name: 'k', kind: 'keys', sound, strings: 1 }));
const PIANO = 0;
const ORGAN = 2;
const key = (seat: number, note: number, over = {}): ReturnType<typeof on> =>
  on({ seat, note, how: 'press', ...over });

describe('a resonator', () => {
  it('is the decaying sine it was asked for, sample by sample', () => {
    const bank = new Resonators(RATE, 3);
    const wanted = [
      [440, 0.5, 0.3, 0],
      [1_234.5, 0.25, 0.1, 1],
      [97, 1, Infinity, -2],
    ] as const;
    for (const [hz, size, t60, phase] of wanted) bank.add(hz, size, t60, phase);
    const out = new Float64Array(4_800);
    for (let at = 0; at < 4_800; at += 128)
      bank.render(out.subarray(at), Math.min(128, 4_800 - at));
    for (let i = 0; i < 4_800; i += 13) {
      const sum = wanted.reduce(
        (all, [hz, size, t60, phase]) =>
          all +
          size * 10 ** ((-3 * i) / (t60 * RATE)) * Math.sin((2 * Math.PI * hz * i) / RATE + phase),
        0,
      );
      expect(out[i]).toBeCloseTo(sum, 9);
    }
  });
});

describe.each(SOUNDS.map((sound, seat) => ({ sound, seat })))('keys with sound $sound', (own) => {
  const { seat } = own;

  it.each([24, 36, 48, 60, 72, 84, 96, 108])('sound note %i within half a cent', (note) => {
    const samples = rendered([key(seat, note)], 1.5, { seats });
    expect(Math.abs(centsOff(samples, 4_800, frequencyOf(note)))).toBeLessThan(0.5);
  });

  it('are brighter for a harder touch', () => {
    const bright = [0, 0.5, 1].map((strength) =>
      centroid(rendered([key(seat, 60, { strength })], 0.3, { seats }), frequencyOf(60)),
    );
    expect(bright[1]).toBeGreaterThan(1.02 * bright[0]!);
    expect(bright[2]).toBeGreaterThan(1.02 * bright[1]!);
  });

  it('end soon after the key is let go of, to exact zeros and without a click', () => {
    const held = rendered([key(seat, 60)], 2, { seats });
    const samples = rendered([key(seat, 60), off({ seat, t: 300_000 })], 2, { seats });
    const after = rms(samples.subarray(0.6 * RATE, 0.7 * RATE));
    expect(db(after / rms(held.subarray(0.6 * RATE, 0.7 * RATE)))).toBeLessThan(-25);
    expect(peak(samples.subarray(1.5 * RATE))).toBe(0);
    expect(steepest(samples.subarray(0.29 * RATE))).toBeLessThan(
      1.05 * steepest(held.subarray(0.2 * RATE, 0.3 * RATE)),
    );
  });

  it('sound any number of notes at once: a chord ends note by note', () => {
    const chord = [60, 64, 67].map((note, i) => key(seat, note, { voice: i + 1, string: i }));
    const one = off({ seat, voice: 2, string: 1, t: 300_000 });
    const samples = rendered([...chord, one], 1.5, { seats });
    const size = (note: number): number =>
      partial(samples, 1.2 * RATE, 0.25 * RATE, frequencyOf(note)).size;
    expect(size(60)).toBeGreaterThan(20 * size(64));
    expect(size(67)).toBeGreaterThan(20 * size(64));
  });
});

describe('keys', () => {
  it('of a piano fade while held, and end by themselves', () => {
    const samples = rendered([key(PIANO, 96)], 8, { seats });
    const half = frequencyOf(96);
    const early = partial(samples, 0.1 * RATE, 4_800, half).size;
    const late = partial(samples, 0.6 * RATE, 4_800, half).size;
    // Its first partial: 9 s at A3, times (220/f)^0.6.
    const t60 = (0.5 * 60) / db(early / late);
    expect(t60).toBeCloseTo(9 * (220 / half) ** 0.6, 1);
    expect(peak(samples.subarray(7 * RATE))).toBe(0);
  });

  it('of an organ stand as long as they are held', () => {
    const samples = rendered([key(ORGAN, 60)], 20.1, { seats });
    const early = rms(samples.subarray(RATE, 2 * RATE));
    const late = rms(samples.subarray(19 * RATE, 20 * RATE));
    expect(db(late / early)).toBeCloseTo(0, 2);
  });

  it('take a slurred off for the end it is on keys', () => {
    const events = [key(ORGAN, 60), off({ seat: ORGAN, t: 200_000, slurred: true })];
    expect(peak(rendered(events, 1, { seats }).subarray(RATE))).toBe(0);
  });
});
