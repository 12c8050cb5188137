import { describe, expect, it } from 'vitest';
import { LoudnessCeiling } from '../../../src/engine/builtin/loudness-ceiling.js';
import { highest, metered, RATE, tones, type Part } from './tones.js';

function under(ceiling: number, signal: Float32Array): { out: Float32Array; lowest: number } {
  const out = signal.slice();
  const slow = new LoudnessCeiling(RATE, ceiling);
  slow.process(out, out.slice(), 0, out.length);
  return { out, lowest: slow.lowest() };
}

/** Notes that die away, by time in seconds. */
function plucks(seconds: number, amplitude: number, everySeconds: number): Float32Array {
  const whole = new Float32Array(seconds * RATE);
  for (let n = 0; n * everySeconds < seconds; n++) {
    const hz = 110 * 2 ** (((n * 7) % 12) / 12);
    const from = Math.round(n * everySeconds * RATE);
    const size = amplitude * (0.5 + 0.5 * ((n * 31) % 7)) * (1 / 3.5);
    for (let i = 0; i < RATE && from + i < whole.length; i++) {
      whole[from + i]! +=
        size * Math.exp((-4 * i) / RATE) * Math.sin((2 * Math.PI * hz * i) / RATE);
    }
  }
  return whole;
}

describe('the loudness ceiling', () => {
  it('leaves alone what is below it, to the bit', () => {
    const quiet = tones([[4, -25]]);
    expect(under(-23, quiet)).toEqual({ out: quiet, lowest: 1 });
  });

  it.each<readonly [string, Float32Array]>([
    ['a steady tone', tones([[8, -10]])],
    [
      'a tone out of silence',
      tones([
        [1, -Infinity],
        [6, -8],
      ]),
    ],
    ['a full-scale tone at once', tones([[8, -1]])],
    [
      'loud and quiet in turns',
      tones(Array.from({ length: 12 }, (_, i): Part => [1, i % 2 ? -30 : -6])),
    ],
    [
      'bursts between pauses',
      tones(Array.from({ length: 6 }, (_, i): Part => [i % 2 ? 4 : 1, i % 2 ? -Infinity : -6])),
    ],
    ['quick plucks', plucks(12, 0.9, 0.2)],
    ['slow plucks', plucks(12, 0.9, 1.3)],
    ['more and more players', tones(Array.from({ length: 10 }, (_, i): Part => [1, -30 + 3 * i]))],
  ])('never lets three seconds of %s be louder', (_, signal) => {
    const before = highest(metered(signal).shortTerm);
    expect(before).toBeGreaterThan(-20);
    const after = highest(metered(under(-23, signal).out).shortTerm);
    expect(after).toBeLessThanOrEqual(-23 + 0.4);
    // Nor does it turn down much more than it has to; most where notes are far apart.
    expect(after).toBeGreaterThan(-23 - 4);
  });

  it('comes to half an LU below the ceiling with a steady sound, without a wobble', () => {
    const { out, lowest } = under(-23, tones([[12, -13]]));
    const { momentary } = metered(out);
    for (const value of momentary.slice(600)) expect(value).toBeCloseTo(-23.5, 1);
    // It had let 20 ms too much through at first, and saved that.
    expect(20 * Math.log10(lowest)).toBeGreaterThan(-13);
    expect(20 * Math.log10(lowest)).toBeLessThan(-9.5);
  });

  it('turns up again by 3 dB a second once players are quieter', () => {
    const { out } = under(
      -23,
      tones([
        [4, -10],
        [10, -30],
      ]),
    );
    const { momentary } = metered(out);
    const gain = (second: number): number => momentary[100 * second]! + 30;
    expect(gain(8) - gain(6)).toBeCloseTo(6, 1);
    expect(gain(13)).toBeCloseTo(0, 1);
  });

  it('recovers from what is no number', () => {
    const signal = tones([[6, -13]]);
    signal.fill(NaN, 4_800, 4_900);
    const { out } = under(-23, signal);
    expect(highest(metered(out.slice(RATE)).shortTerm)).toBeCloseTo(-23.5, 1);
  });
});
