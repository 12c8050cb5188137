import { describe, expect, it } from 'vitest';
import type { Loudness } from '../../../../src/engine/builtin/output.js';
import { decibelWords, loudnessView } from '../../../../src/page/browser/sound/loudness-view.js';

const CEILING = { peak: -1, loudness: -16 };
const loud = (shortTerm: number, limiting = 0): Loudness => ({
  momentary: shortTerm,
  shortTerm,
  integrated: shortTerm,
  truePeak: -9,
  limiting,
  mostLimiting: limiting,
});

describe('how loud this device is', () => {
  it.each([
    [-Infinity, 0, 'silent'],
    [-61, 0, 'silent'],
    [-29, 0, 'quiet'],
    [-21, 0, 'usual'],
    [-18, 0, 'near'],
    [-16.5, 2, 'held'],
    [-25, 2, 'held'],
  ] as const)('at %d LUFS, turned down by %d dB, is %s', (lufs, limiting, standing) => {
    expect(loudnessView(loud(lufs, limiting), CEILING, 1).standing).toBe(standing);
  });

  it('and how loud it may get go with its own level: half the amplitude is 6 dB less', () => {
    const { lufs, mostLufs, peak, mostPeak, standing } = loudnessView(loud(-18), CEILING, 0.5);
    expect([lufs, mostLufs, peak, mostPeak].map((value) => Number(value!.toFixed(1)))).toEqual([
      -24, -22, -15, -7,
    ]);
    expect(standing).toBe('near');
    expect(loudnessView(loud(-18), CEILING, 0)).toMatchObject({ standing: 'silent' });
  });

  it('is measured against the peak where nothing else holds it down', () => {
    const open = { peak: -1, loudness: null };
    expect(loudnessView(loud(-3), open, 1)).toMatchObject({ standing: 'near', mostLufs: null });
    expect(loudnessView(loud(-20), open, 1).standing).toBe('quiet');
  });

  it('is said in whole decibels, with a minus sign that screen readers read', () => {
    expect([-6.02, 0.4, -0.4, 3, -Infinity].map(decibelWords)).toEqual(['−6', '0', '0', '3', '−∞']);
  });
});
