import { afterAll, describe, expect, it } from 'vitest';
import { renderOffline } from '../../src/engine/builtin/offline.js';
import type { Loudness } from '../../src/engine/builtin/output.js';
import type { Stereo } from '../../src/engine/wav.js';
import { highest, metered, tones, type Part } from '../engine/builtin/tones.js';
import { classOf, playTogether } from '../support/loud-class.js';
import { seededNumbers } from '../../src/demo/gestures.js';
import { ebur128, ebur128OfFloats, type Heard } from './ebur128.js';

/*
 * The meter beside Debian's ffmpeg (filter ebur128). Loudness within 0.1 LU; its momentary and short-term
 * windows move by 100 ms and ours by 10 ms, so their highest is ours or a little less.
 */
const worst = { integrated: 0, windows: 0, truePeak: 0 };

function compare(sound: Stereo, theirs: Heard, sampleRate: number): void {
  const ours = metered(sound.left, sound.right, sampleRate);
  const off = ours.integrated - theirs.integrated;
  worst.integrated = Math.max(worst.integrated, Math.abs(off));
  expect(Math.abs(off)).toBeLessThanOrEqual(0.1);
  for (const [own, their] of [
    [highest(everyTenth(ours.momentary)), theirs.momentary],
    [highest(everyTenth(ours.shortTerm).slice(29)), theirs.shortTerm],
  ] as const) {
    worst.windows = Math.max(worst.windows, Math.abs(own - their));
    expect(Math.abs(own - their)).toBeLessThanOrEqual(0.1);
  }
  worst.truePeak = Math.max(worst.truePeak, Math.abs(ours.truePeak - theirs.truePeak));
  expect(Math.abs(ours.truePeak - theirs.truePeak)).toBeLessThanOrEqual(0.1);
}
/** Of values every 10 ms, those that a meter sees that looks every 100 ms. */
const everyTenth = (values: readonly number[]): number[] => values.filter((_, i) => i % 10 === 9);

const noise = (seconds: number, amplitude: number, sampleRate = 48_000): Float32Array => {
  const random = seededNumbers(5);
  let last = 0;
  // A little smoothed, so that next to nothing is left near half the rate, where interpolations differ.
  return Float32Array.from({ length: seconds * sampleRate }, () => {
    last += 0.4 * (amplitude * (2 * random() - 1) - last);
    return last;
  });
};

/** At the very ends of a file, ffmpeg's interpolation makes up what lies beyond. */
const AMID_SILENCE: Part[] = [
  [0.1, -Infinity],
  [5, -10],
  [0.1, -Infinity],
];

describe('the meter beside ffmpeg', () => {
  it.each<readonly [string, number, Part[], number]>([
    ['997 Hz', 48_000, [[5, -10]], 997],
    ['997 Hz at 44.1 kHz', 44_100, [[5, -10]], 997],
    ['997 Hz at 96 kHz', 96_000, [[5, -10]], 997],
    ['a bass note', 48_000, [[5, -10]], 41.2],
    ['a bass note at 44.1 kHz', 44_100, [[5, -10]], 41.2],
    ['a high tone', 48_000, AMID_SILENCE, 7_000],
    ['a high tone at 44.1 kHz', 44_100, AMID_SILENCE, 7_000],
    [
      'gates: case 3',
      48_000,
      [
        [10, -36],
        [60, -23],
        [10, -36],
      ],
      1_000,
    ],
    [
      'gates: case 4',
      48_000,
      [
        [10, -72],
        [10, -36],
        [60, -23],
        [10, -36],
        [10, -72],
      ],
      1_000,
    ],
    [
      'gates: case 5',
      48_000,
      [
        [20, -26],
        [20.1, -20],
        [20, -26],
      ],
      1_000,
    ],
    [
      'just below and above the relative gate',
      48_000,
      [
        [10, -20],
        [10, -29.5],
        [10, -32],
      ],
      500,
    ],
  ])('hears the same in %s', (_, rate, parts, hz) => {
    const left = tones(parts, hz, rate);
    const sound = { left, right: left };
    compare(sound, ebur128(sound, rate), rate);
  });

  it('hears the same in noise, in two channels that differ, and in one alone', () => {
    const left = noise(8, 0.6);
    const right = tones(
      [
        [4, -12],
        [4, -30],
      ],
      300,
    );
    for (const sound of [
      { left, right },
      { left, right: new Float32Array(left.length) },
      { left: noise(8, 0.6, 44_100), right: noise(8, 0.1, 44_100) },
    ]) {
      const rate = sound.left.length / 8;
      compare(sound, ebur128(sound, rate), rate);
    }
  });

  it('hears the same true peaks, above full scale too', () => {
    const part = (share: number, degrees: number, size: number): Float32Array =>
      Float32Array.from({ length: 4 * 48_000 }, (_, i) => {
        const swell = Math.min(1, i / 4_800, (4 * 48_000 - i) / 4_800);
        return size * swell * Math.sin((2 * Math.PI * i) / share + (degrees * Math.PI) / 180);
      });
    for (const left of [
      part(4, 45, 0.5),
      part(6, 60, 0.5),
      part(8, 67.5, 0.5),
      part(4, 45, 1.41),
    ]) {
      const sound = { left, right: left };
      compare(sound, ebur128OfFloats(sound, 48_000), 48_000);
    }
  });

  it.each([
    [1, 60],
    [1, 127],
    [4, 90],
    [12, 110],
  ])('hears the same in what %i seats play at velocity %i', (count, velocity) => {
    const seats = classOf(count);
    const events = playTogether(seats, { seconds: 6, velocity, inStep: false });
    let told: Loudness | undefined;
    const options = { sampleRate: 48_000, seed: 1, seats, tailSeconds: 0.5 };
    const chunks = [
      ...renderOffline(events, { ...options, onLoudness: (loudness) => (told = loudness) }),
    ];
    const whole = (channel: 'left' | 'right'): Float32Array =>
      Float32Array.from(chunks.flatMap((chunk) => [...chunk[channel]]));
    const sound = { left: whole('left'), right: whole('right') };
    const theirs = ebur128(sound, 48_000);
    compare(sound, theirs, 48_000);
    expect(Math.abs(told!.integrated - theirs.integrated)).toBeLessThanOrEqual(0.1);
  });

  afterAll(() => {
    const figures = Object.entries(worst).map(([name, value]) => `${name} ${value.toFixed(3)}`);
    process.stdout.write(`furthest from ffmpeg: ${figures.join(', ')} dB\n`);
  });
});
