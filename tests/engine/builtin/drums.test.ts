import { describe, expect, it } from 'vitest';
import { drumName } from '../../../src/instrument/drum-names.js';
import type { VoiceEvent } from '../../../src/room/voice.js';
import { db, off, on, partial, peak, rendered, rms, RATE } from './helpers.js';
import { seatSound } from '../../support/seat-sound.js';

const drums = seatSound({ name: 'd', kind: 'hits', sound: 1, strings: 1 });
const seats = [drums, { ...drums, name: 'e' }];
const hit = (note: number, over = {}): ReturnType<typeof on> =>
  on({ note, velocity: 127, strength: 1, string: note, how: 'hit', ...over });
const play = (events: VoiceEvent[], seconds: number, seed = 1): Float32Array =>
  rendered(events, seconds, { seats, seed });

/** The middle of the power spectrum in Hz, by an own discrete Fourier transform up to 16 kHz. */
function middle(samples: Float32Array): number {
  let sum = 0;
  let weighted = 0;
  for (let hz = 25; hz < 16_000; hz += 25) {
    const power = partial(samples, 0, samples.length, hz).size ** 2;
    sum += power;
    weighted += power * hz;
  }
  return weighted / sum;
}

const KEYS = Array.from({ length: 47 }, (_, i) => 35 + i);

describe('every percussion key of General MIDI', () => {
  it.each(KEYS.map((key) => [key, drumName(key)] as const))(
    '%i, %s, is heard, stays below −6 dBFS and ends by itself',
    (key) => {
      const samples = play([hit(key)], 4);
      // Heard within 10 ms, and over in less than 3.5 s, to exact zeros.
      expect(db(peak(samples.subarray(0, 0.01 * RATE)))).toBeGreaterThan(-40);
      expect(peak(samples.subarray(3.5 * RATE))).toBe(0);
      for (const seed of [1, 2, 3, 4, 5]) {
        const most = db(peak(play([hit(key)], 0.4, seed)));
        expect(most).toBeLessThan(-6);
        expect(most).toBeGreaterThan(-22);
      }
    },
  );

  it('is heard as soft as can be, too', () => {
    for (const key of KEYS) {
      expect(db(peak(play([hit(key, { velocity: 1, strength: 0 })], 0.3)))).toBeGreaterThan(-85);
    }
  });

  it('sounds as the nearest one where a key is none', () => {
    expect(play([hit(20)], 0.3)).toEqual(play([hit(35)], 0.3));
    expect(play([hit(100)], 0.3)).toEqual(play([hit(81)], 0.3));
  });

  it('sounds like no other', () => {
    const heard = new Set(KEYS.map((key) => rms(play([hit(key)], 0.2))));
    expect(heard.size).toBe(KEYS.length);
  });
});

describe('the middle of the spectrum', () => {
  const of = (key: number): number => middle(play([hit(key)], 0.2));

  it('of bass drums is low, of hi-hats, shakers and triangles high', () => {
    for (const key of [35, 36]) expect(of(key)).toBeLessThan(200);
    for (const key of [42, 44, 46, 69, 70, 80, 81]) expect(of(key)).toBeGreaterThan(4_000);
  });

  it('of snares lies between', () => {
    for (const key of [38, 40]) {
      expect(of(key)).toBeGreaterThan(800);
      expect(of(key)).toBeLessThan(6_000);
    }
  });

  it('rises with strength, where there is anything to brighten', () => {
    for (const key of [38, 42, 49, 56, 76]) {
      const soft = middle(play([hit(key, { strength: 0 })], 0.2));
      expect(of(key)).toBeGreaterThan(1.02 * soft);
    }
  });
});

describe('the loudest frequency', () => {
  /** In Hz, from 40 to 3000 in steps of 2 %. */
  function loudest(key: number): number {
    const samples = play([hit(key)], 0.2);
    let most = 0;
    let at = 0;
    for (let hz = 40; hz < 3_000; hz *= 1.02) {
      const { size } = partial(samples, 0.02 * RATE, 0.15 * RATE, hz);
      if (size > most) [most, at] = [size, hz];
    }
    return at;
  }

  it('rises from tom to tom, and from low to high of each pair', () => {
    const rising = [
      [35, 36],
      [41, 43, 45, 47, 48, 50],
      [61, 60],
      [64, 63],
      [66, 65],
      [68, 67],
      [77, 76],
    ];
    for (const keys of rising) {
      const heard = keys.map(loudest);
      for (let i = 1; i < heard.length; i++) expect(heard[i]).toBeGreaterThan(heard[i - 1]!);
    }
  });
});

describe('a hit', () => {
  it('goes on to its own end: an off changes nothing', () => {
    for (const key of [36, 38, 39, 46, 49, 58, 74]) {
      const letGo = off({ note: key, string: key, t: 20_000 });
      const ofAnother = { ...letGo, voice: 9, seat: 1 };
      expect(play([hit(key), letGo], 0.4)).toEqual(play([hit(key), ofAnother], 0.4));
    }
  });

  it('of the same pad again leaves the one before it to ring', () => {
    const again = [
      hit(49),
      off({ note: 49, string: 49, t: 100_000 }),
      hit(49, { voice: 2, velocity: 1, t: 200_000 }),
    ];
    const once = play([hit(49)], 1.2);
    const both = play(again, 1);
    const from = 0.25 * RATE;
    expect(rms(both.subarray(from, RATE)) / rms(once.subarray(from, RATE))).toBeCloseTo(1, 1);
  });

  // Common practice of General MIDI sound sets, from memory.
  it.each([
    [46, 42],
    [46, 44],
    [72, 71],
    [74, 73],
    [79, 78],
    [81, 80],
  ])('of %i is ended by %i on the same seat only', (open, closed) => {
    const soft = { voice: 2, velocity: 1, strength: 0, t: 60_000 };
    const late = (samples: Float32Array): number => rms(samples.subarray(0.14 * RATE, 0.2 * RATE));
    const free = late(play([hit(open)], 0.5));
    const letGo = off({ note: open, string: open, t: 30_000 });
    expect(db(late(play([hit(open), hit(closed, soft)], 0.5)) / free)).toBeLessThan(-30);
    expect(db(late(play([hit(open), letGo, hit(closed, soft)], 0.5)) / free)).toBeLessThan(-30);
    const elsewhere = late(play([hit(open), hit(closed, { ...soft, seat: 1 })], 0.5));
    expect(elsewhere / free).toBeCloseTo(1, 1);
    // The other way round neither ends the other.
    const other = play([hit(closed), hit(open, { ...soft, t: 1_000 })], 0.5);
    expect(rms(other) / rms(play([hit(closed)], 0.5))).toBeGreaterThan(0.9);
  });
});
