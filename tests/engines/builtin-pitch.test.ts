import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { renderWav } from '../../src/engine/builtin/offline.js';
import { wavBytes } from '../../src/engine/wav.js';
import { off, on, RATE, SEATS } from '../engine/builtin/helpers.js';
import { seatSound } from '../support/seat-sound.js';
import { medianPitch as medianOf } from './builtin-aubio.js';

/* The pitch as aubio hears it; a sine is measured first, to know that the ruler is straight. */
let folder: string;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'pitch-'));
});
afterAll(() => rm(folder, { recursive: true }));

/** From this note on aubio is given four times the sample rate. */
const HIGH = 89;
const medianPitch = (bytes: Uint8Array, note = 0): Promise<number> =>
  medianOf(join(folder, 'note.wav'), bytes, note >= HIGH);

const options = { sampleRate: RATE, seed: 1, seats: SEATS, tailSeconds: 1.8 };

describe('the ruler', () => {
  it.each([28, 47, 88, 98, 108])(
    'reads a sine at the pitch of note %i within 0.5 cents',
    async (note) => {
      const step = (2 * Math.PI * 440 * 2 ** ((note - 69) / 12)) / RATE;
      const left = Float32Array.from({ length: 1.8 * RATE }, (_, i) => 0.3 * Math.sin(step * i));
      const pitch = await medianPitch(
        wavBytes([{ left, right: left }], { sampleRate: RATE, seed: 1 }),
        note,
      );
      expect(Math.abs(100 * (pitch - note))).toBeLessThan(0.5);
    },
  );
});

describe('a plucked string', () => {
  // Every note of a four-string bass with four frets, and some above.
  const notes = [...Array.from({ length: 20 }, (_, i) => 28 + i), 52, 57, 64, 69, 76, 81, 88];
  const errors: number[] = [];

  it.each(notes)('is heard as note %i within 5 cents, soft and hard', async (note) => {
    for (const [velocity, strength] of [
      [127, 1],
      [40, 0.2],
    ] as const) {
      const pitch = await medianPitch(renderWav([on({ note, velocity, strength })], options));
      errors.push(Math.abs(100 * (pitch - note)));
      expect(errors.at(-1)).toBeLessThan(5);
    }
  });

  it('was off by so much at most, of all notes', () => {
    const worst = Math.max(...errors);
    process.stdout.write(
      `worst error of ${String(errors.length)} notes: ${worst.toFixed(2)} cents\n`,
    );
    expect(errors).toHaveLength(2 * notes.length);
    expect(worst).toBeLessThan(5);
  });

  it('goes on at the pitch of a slur', async () => {
    const slur = [
      on({ note: 33 }),
      off({ t: 150_000, slurred: true }),
      on({ t: 150_000, voice: 2, note: 36, how: 'hammer' }),
    ];
    expect(Math.abs(100 * ((await medianPitch(renderWav(slur, options))) - 36))).toBeLessThan(5);
  });

  it('has the same pitch at other sample rates', async () => {
    for (const sampleRate of [44_100, 96_000]) {
      const pitch = await medianPitch(renderWav([on({ note: 40 })], { ...options, sampleRate }));
      expect(Math.abs(100 * (pitch - 40))).toBeLessThan(5);
    }
  });
});

const every = (step: number, from: number, to: number): number[] =>
  Array.from({ length: Math.floor((to - from) / step) + 1 }, (_, i) => from + step * i);

// A piano's A0 to C8 in fourths; tuned bars, an organ and the soft tone over five octaves; a soprano
// recorder's C5 to D7 note by note, an alto's F4 to G6 among them, and a clarinet's low notes.
describe.each([
  { name: 'a piano', kind: 'keys', sound: 1, notes: every(5, 21, 106) },
  { name: 'tuned bars', kind: 'keys', sound: 12, notes: every(7, 36, 99) },
  { name: 'an organ', kind: 'keys', sound: 20, notes: every(7, 36, 99) },
  { name: 'the soft tone', kind: 'keys', sound: 90, notes: every(7, 36, 99) },
  { name: 'a recorder', kind: 'holes', sound: 75, notes: every(1, 65, 98) },
  { name: 'a clarinet', kind: 'holes', sound: 72, notes: every(5, 50, 90) },
] as const)('$name', ({ name, kind, sound, notes }) => {
  const seats = [seatSound({ name, kind, sound, strings: 1 })];
  const how = kind === 'keys' ? 'press' : 'blow';
  const errors: number[] = [];

  it.each(notes)('is heard as note %i within 5 cents, soft and hard', async (note) => {
    for (const [velocity, strength] of [
      [127, 1],
      [40, 0.2],
    ] as const) {
      const wav = renderWav([on({ note, velocity, strength, how })], { ...options, seats });
      errors.push(Math.abs(100 * ((await medianPitch(wav, note)) - note)));
      expect(errors.at(-1)).toBeLessThan(5);
    }
  });

  it('was off by so much at most, of all notes', () => {
    const worst = Math.max(...errors);
    process.stdout.write(
      `${name}: worst error of ${String(errors.length)} notes: ${worst.toFixed(2)} cents\n`,
    );
    expect(errors).toHaveLength(2 * notes.length);
    expect(worst).toBeLessThan(5);
  });
});

describe('a pipe', () => {
  it('goes on at the pitch of another fingering', async () => {
    const seats = [seatSound({ kind: 'holes', sound: 75, strings: 1 })];
    const slur = [
      on({ note: 74, how: 'blow' }),
      off({ t: 150_000, note: 74, slurred: true }),
      on({ t: 150_000, voice: 2, note: 77, how: 'finger' }),
    ];
    const pitch = await medianPitch(renderWav(slur, { ...options, seats }));
    expect(Math.abs(100 * (pitch - 77))).toBeLessThan(5);
  });
});
