import { describe, expect, it } from 'vitest';
import { frequencyOf } from '../../../src/engine/builtin/frequency.js';
import { noiseGain } from '../../../src/engine/builtin/parts/noise-band.js';
import { sineOf } from '../../../src/engine/builtin/parts/sine.js';
import { centroid, centsOff, db, off, on, peak, rendered, rms, RATE, steepest } from './helpers.js';
import { seatSound } from '../../support/seat-sound.js';

/** A recorder and a clarinet. */
const seats = [75, 72].map((sound) => seatSound({ name: 'p', kind: 'holes', sound, strings: 1 }));
const blow = (note: number, over = {}): ReturnType<typeof on> => on({ note, how: 'blow', ...over });

describe('what a pipe is made of', () => {
  it('has a sine that is one', () => {
    for (let i = 0; i < 1_000; i++) {
      expect(sineOf(i / 1_000)).toBeCloseTo(Math.sin((2 * Math.PI * i) / 1_000), 6);
    }
  });

  it("knows a filter's noise gain: 1/√(1 − p²) for a single pole p", () => {
    expect(noiseGain(1, 0, 0, -0.9, 0)).toBeCloseTo(1 / Math.sqrt(1 - 0.81), 9);
    // By the impulse response itself.
    const [b0, b1, b2, a1, a2] = [0.2, -0.1, 0.4, -1.2, 0.6] as const;
    let [x1, x2, y1, y2, sum] = [0, 0, 0, 0, 0];
    for (let n = 0; n < 500; n++) {
      const x = n === 0 ? 1 : 0;
      const y = b0 * x + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2;
      [x2, x1, y2, y1] = [x1, x, y1, y];
      sum += y * y;
    }
    expect(noiseGain(b0, b1, b2, a1, a2)).toBeCloseTo(Math.sqrt(sum), 9);
  });
});

describe.each([
  { name: 'a recorder', seat: 0 },
  { name: 'a clarinet', seat: 1 },
])('$name', ({ seat }) => {
  // The soprano recorder's C5 to D7 and the alto's F4 to G6, and more on either side.
  const notes = [48, 55, 60, 65, ...Array.from({ length: 27 }, (_, i) => 72 + i), 103, 108];
  it.each(notes)('sounds note %i within 2 cents', (note) => {
    const samples = rendered([blow(note, { seat })], 1, { seats });
    expect(Math.abs(centsOff(samples, 9_600, frequencyOf(note)))).toBeLessThan(2);
  });

  it('begins softly, within 15 to 30 ms', () => {
    for (const [strength, rise] of [
      [0, 0.03],
      [1, 0.015],
    ] as const) {
      const samples = rendered([blow(84, { seat, strength })], 0.5, { seats });
      const full = rms(samples.subarray(0.2 * RATE, 0.4 * RATE));
      const at = (share: number): number =>
        rms(samples.subarray((share - 0.1) * rise * RATE, (share + 0.1) * rise * RATE));
      expect(at(0.25) / full).toBeLessThan(0.4);
      expect(at(1.1) / full).toBeGreaterThan(0.85);
    }
  });

  it('stands as long as it is blown, then ends without a click', () => {
    const events = [blow(76, { seat }), off({ seat, t: 10_000_000 })];
    const samples = rendered(events, 0.5, { seats });
    const early = rms(samples.subarray(RATE, 2 * RATE));
    expect(db(rms(samples.subarray(9 * RATE, 10 * RATE)) / early)).toBeCloseTo(0, 1);
    expect(peak(samples.subarray(10.2 * RATE))).toBe(0);
    const calm = steepest(samples.subarray(9 * RATE, 10 * RATE));
    expect(steepest(samples.subarray(9.9 * RATE))).toBeLessThan(1.05 * calm);
  });

  it('is brighter when blown harder', () => {
    const [soft, hard] = [0.2, 1].map((strength) =>
      centroid(rendered([blow(72, { seat, strength })], 0.4, { seats }), frequencyOf(72)),
    );
    expect(hard).toBeGreaterThan(1.1 * soft!);
  });
});

describe('another fingering', () => {
  const from = 74;
  const to = 79;
  const t = 500_000;
  const slur = [
    blow(from),
    off({ t, slurred: true }),
    on({ t, voice: 2, note: to, how: 'finger' }),
  ];
  const samples = rendered(slur, 0.8, { seats });

  it('goes on at its pitch after 10 ms', () => {
    expect(Math.abs(centsOff(samples, 0.511 * RATE, frequencyOf(to)))).toBeLessThan(2);
    expect(Math.abs(centsOff(samples, 0.4 * RATE, frequencyOf(from)))).toBeLessThan(2);
  });

  it('has no new attack: the sound neither dips nor swells, nor jumps', () => {
    const before = rms(samples.subarray(0.3 * RATE, 0.5 * RATE));
    for (let at = 0.49; at < 0.54; at += 0.002) {
      const now = rms(samples.subarray(at * RATE, (at + 0.005) * RATE));
      expect(Math.abs(db(now / before))).toBeLessThan(1.5);
    }
    const calm = Math.max(
      steepest(samples.subarray(0.3 * RATE, 0.49 * RATE)),
      steepest(samples.subarray(0.55 * RATE, 0.7 * RATE)),
    );
    expect(steepest(samples.subarray(0.49 * RATE, 0.55 * RATE))).toBeLessThan(1.05 * calm);
  });

  it('ends by the off of the voice it became', () => {
    const end = rendered([...slur, off({ t: 700_000, voice: 2 })], 0.5, { seats });
    expect(peak(end.subarray(0.9 * RATE))).toBe(0);
  });

  it('that never comes lets the note end', () => {
    expect(peak(rendered(slur.slice(0, 2), 0.5, { seats }).subarray(0.75 * RATE))).toBe(0);
  });

  it('right after another goes on from where the pitch is by then', () => {
    const again = [
      ...slur,
      off({ t: 503_000, voice: 2, slurred: true }),
      on({ t: 503_000, voice: 3, note: 72, how: 'finger' }),
    ];
    const twice = rendered(again, 0.8, { seats });
    expect(Math.abs(centsOff(twice, 0.52 * RATE, frequencyOf(72)))).toBeLessThan(2);
  });
});
