import { describe, expect, it } from 'vitest';
import { frequencyOf, tunedTo } from '../../../src/engine/builtin/frequency.js';
import { designLoop, lineLength, poleDelay } from '../../../src/engine/builtin/strings/loop.js';
import { centsOff, on, partial, rendered, RATE } from './helpers.js';

describe('frequencyOf', () => {
  // f = 440 · 2^((n−69)/12), computed to four places; A4 = 440 Hz is ISO 16.
  it.each([
    [28, 41.2034],
    [33, 55.0],
    [38, 73.4162],
    [43, 97.9989],
  ])('gives note %i as %f Hz', (note, hz) => {
    expect(frequencyOf(note)).toBeCloseTo(hz, 4);
  });
});

describe('the loop', () => {
  // Karplus & Strong, Computer Music Journal 7(2), 1983: f = fs / (N + ½), so at 48 kHz N is:
  it.each([
    [28, 1164.451],
    [33, 872.227],
    [38, 653.307],
    [43, 489.302],
  ])('is as long for note %i as f = fs/(N + ½) says', (note, n) => {
    expect(lineLength(frequencyOf(note), RATE)).toBeCloseTo(n, 3);
    const loop = designLoop({ frequency: frequencyOf(note), sampleRate: RATE, t60: 5, mellow: 1 });
    expect(loop.whole + loop.part).toBeCloseTo(n, 3);
  });

  it('has the gain that a 60 dB decay time asks for: 0.001^(1/(f·t60)) around the loop', () => {
    const frequency = 55;
    const loop = designLoop({ frequency, sampleRate: RATE, t60: 4, mellow: 6 });
    const omega = (2 * Math.PI * frequency) / RATE;
    // |H| of the two-point mean and of the one-pole low-pass, by complex division.
    const mean = Math.hypot((1 + Math.cos(omega)) / 2, Math.sin(omega) / 2);
    const pole =
      (1 - loop.pole) / Math.hypot(1 - loop.pole * Math.cos(omega), loop.pole * Math.sin(omega));
    expect(loop.gain * mean * pole).toBeCloseTo(0.001 ** (1 / (55 * 4)), 9);
  });

  it("knows a one-pole low-pass's delay: p/(1−p) samples at 0 Hz", () => {
    expect(poleDelay(0.5, 1e-6)).toBeCloseTo(1, 6);
    expect(poleDelay(0.9, 1e-6)).toBeCloseTo(9, 6);
  });

  it('never gains, at any note and sample rate', () => {
    for (const sampleRate of [22_050, 44_100, 48_000, 96_000]) {
      for (let note = 0; note <= 127; note++) {
        const frequency = tunedTo(note, sampleRate);
        const loop = designLoop({ frequency, sampleRate, t60: 9, mellow: 5 });
        expect(loop.gain).toBeLessThan(1);
        expect(Math.abs(loop.allpass)).toBeLessThan(1);
        expect(loop.whole).toBeGreaterThanOrEqual(1);
      }
    }
  });
});

describe('a plucked string', () => {
  const notes = [...Array.from({ length: 20 }, (_, i) => 28 + i), 52, 60, 64, 69, 76, 81, 88];
  it.each(notes)('sounds note %i within half a cent', (note) => {
    const samples = rendered([on({ note })], 1.5);
    expect(Math.abs(centsOff(samples, 4_800, frequencyOf(note)))).toBeLessThan(0.5);
  });

  it('loses 60 dB of its fundamental in the time asked for', () => {
    const samples = rendered([on({ note: 33 })], 3);
    const length = Math.round((24 * RATE) / 55);
    const early = partial(samples, 9_600, length, 55).size;
    const late = partial(samples, 105_600, length, 55).size;
    const t60 = (2 * 60) / (20 * Math.log10(early / late));
    // The bass timbre: 9 s at E1, times (41.2/55)^0.35.
    expect(t60).toBeCloseTo(9 * (41.2 / 55) ** 0.35, 1);
  });
});
