import { describe, expect, it } from 'vitest';
import { Meter } from '../../../src/engine/builtin/meter.js';
import { highest, metered, RATE, tones, type Part } from './tones.js';

const silent = (seconds: number): Part => [seconds, -Infinity];
const repeat = (times: number, parts: readonly Part[]): Part[] =>
  Array.from({ length: times }, () => parts).flat();
const within = (value: number, wanted: number, tolerance = 0.1): void => {
  expect(Math.abs(value - wanted)).toBeLessThanOrEqual(tolerance);
};

describe('the meter', () => {
  it.each([44_100, 48_000, 96_000])('reads −3.01 for 997 Hz in one channel at %i Hz', (rate) => {
    // ITU-R BS.1770: 997 Hz at 0 dBFS in one channel is −3.01 LKFS.
    const tone = tones([[5, 0]], 997, rate);
    const { integrated, momentary } = metered(tone, new Float32Array(tone.length), rate);
    within(integrated, -3.01, 0.005);
    within(momentary.at(-1)!, -3.01, 0.005);
  });

  it('says −Infinity for silence, and heals of what is no number', () => {
    const meter = new Meter(RATE);
    meter.process(new Float32Array(RATE), new Float32Array(RATE), 0, RATE);
    const nothing = new Float32Array(480).fill(NaN);
    meter.process(nothing, nothing, 0, 480);
    const { integrated, shortTerm, truePeak } = meter;
    expect([integrated, shortTerm, truePeak]).toEqual([-Infinity, -Infinity, -Infinity]);
    const tone = tones([[4, -23]]);
    meter.process(tone, tone, 0, tone.length);
    within(meter.shortTerm, -23, 0.02);
    within(meter.truePeak, -23, 0.05);
  });

  it('reads the same in blocks of any length', () => {
    const tone = tones([[2, -20], silent(0.3), [2, -30]]);
    const meter = new Meter(RATE);
    for (let at = 0, n = 1; at < tone.length; at += n, n = ((n * 31) % 1_009) + 1) {
      meter.process(tone, tone, at, Math.min(tone.length, at + n));
    }
    const once = metered(tone);
    expect(meter.integrated).toBeCloseTo(once.integrated, 9);
    expect(meter.truePeak).toBe(once.truePeak);
    expect(meter.momentary).toBeCloseTo(once.momentary.at(-1)!, 9);
  });
});

/*
 * Test signals of EBU Tech 3341, stereo, 1 kHz. Cases 1 and 2 are quoted in other texts; the others are from
 * memory. Left out: 6, which has five channels, and 7 and 8, which are recordings.
 */
describe('EBU Tech 3341, integrated', () => {
  it.each<readonly [number, number, Part[]]>([
    [1, -23, [[20, -23]]],
    [2, -33, [[20, -33]]],
    [
      3,
      -23,
      [
        [10, -36],
        [60, -23],
        [10, -36],
      ],
    ],
    [
      4,
      -23,
      [
        [10, -72],
        [10, -36],
        [60, -23],
        [10, -36],
        [10, -72],
      ],
    ],
    [
      5,
      -23,
      [
        [20, -26],
        [20.1, -20],
        [20, -26],
      ],
    ],
  ])('case %i is %f LUFS within 0.1 LU', (_, wanted, parts) => {
    const heard = metered(tones(parts));
    within(heard.integrated, wanted);
    if (parts.length > 1) return;
    within(heard.momentary.at(-1)!, wanted);
    within(heard.shortTerm.at(-1)!, wanted);
  });
});

describe('EBU Tech 3341, short-term and momentary (from memory)', () => {
  it('case 9: bursts of 1.34 s, short-term −23.0 all the time from 3 s on', () => {
    const { shortTerm } = metered(
      tones(
        repeat(5, [
          [1.34, -20],
          [1.66, -30],
        ]),
      ),
    );
    for (const value of shortTerm.slice(300)) within(value, -23);
  });

  it('case 10: 3 s of tone at any time reach −23.0 short-term', () => {
    for (let i = 0; i < 20; i++) {
      within(highest(metered(tones([silent(0.15 * i), [3, -23], silent(1)])).shortTerm), -23);
    }
  });

  it('case 11: the same live, 1 LU louder each time', () => {
    const parts = Array.from({ length: 20 }, (_, i): Part[] => [
      silent(0.15 * i),
      [3, -38 + i],
      silent(3 - 0.15 * i),
    ]);
    const { shortTerm } = metered(tones(parts.flat()));
    for (let i = 0; i < 20; i++) within(highest(shortTerm.slice(600 * i, 600 * i + 600)), -38 + i);
  });

  it('case 12: bursts of 0.18 s, momentary −23.0 all the time from 1 s on', () => {
    const { momentary } = metered(
      tones(
        repeat(25, [
          [0.18, -20],
          [0.22, -30],
        ]),
      ),
    );
    for (const value of momentary.slice(100)) within(value, -23);
  });

  it('case 13: 0.4 s of tone at any time reach −23.0 momentary', () => {
    for (let i = 0; i < 20; i++) {
      within(highest(metered(tones([silent(0.02 * i), [0.4, -23], silent(1)])).momentary), -23);
    }
  });

  it('case 14: the same live, 1 LU louder each time', () => {
    const parts = Array.from({ length: 20 }, (_, i): Part[] => [
      silent(0.02 * i),
      [0.4, -38 + i],
      silent(0.4 - 0.02 * i),
    ]);
    const { momentary } = metered(tones(parts.flat()));
    for (let i = 0; i < 20; i++) within(highest(momentary.slice(80 * i, 80 * i + 80)), -38 + i);
  });
});

describe('EBU Tech 3341, true peak (from memory)', () => {
  it.each([
    [15, 4, 0, 0.5, -6],
    [16, 4, 45, 0.5, -6],
    [17, 6, 60, 0.5, -6],
    [18, 8, 67.5, 0.5, -6],
    [19, 4, 45, 1.41, 3],
  ])('case %i: a tone of 1/%i of the rate at %f degrees', (_, part, degrees, size, wanted) => {
    // It swells in and out, since to begin at full size is a click, with a peak of its own.
    const tone = Float32Array.from({ length: RATE }, (_, i) => {
      const swell = Math.min(1, i / 4_800, (RATE - i) / 4_800);
      return size * swell * Math.sin((2 * Math.PI * i) / part + (degrees * Math.PI) / 180);
    });
    const { truePeak } = metered(tone);
    // The tolerance is +0.2 and −0.4 dB.
    expect(truePeak).toBeLessThanOrEqual(wanted + 0.2);
    expect(truePeak).toBeGreaterThanOrEqual(wanted - 0.4);
    // An interpolation as good as this is far closer, where a quarter of a sample hits the top.
    within(truePeak, 20 * Math.log10(size), 0.03);
  });
});
