import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { renderWav } from '../../src/engine/builtin/offline.js';
import { wavBytes } from '../../src/engine/wav.js';
import { off, on, RATE, SEATS } from '../engine/builtin/helpers.js';

/*
 * The pitch as Debian's aubio hears it, from WAV files. Its method `yin` with a window of 8192 frames, seven
 * periods of an E1: its default, `yinfft`, reads even a pure sine of 41.2 Hz 56 cents sharp, so a sine is
 * measured first, to know that the ruler is straight. `-s -100` has it listen to faint notes too.
 */
const WINDOW = 8_192;
const run = promisify(execFile);
let folder: string;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'pitch-'));
});
afterAll(() => rm(folder, { recursive: true }));

/** MIDI pitches, not whole, and when they were heard; windows half outside the note left out. */
async function heard(bytes: Uint8Array): Promise<{ at: number; pitch: number }[]> {
  const file = join(folder, 'note.wav');
  await writeFile(file, bytes);
  const args = ['-i', file, '-r', '0', '-p', 'yin', '-u', 'midi', '-s', '-100'];
  const { stdout } = await run('aubiopitch', [...args, '-B', String(WINDOW), '-H', '2048']);
  const lines = stdout.trim().split('\n');
  return lines.map((line) => {
    const [at, pitch] = line.split(/\s+/).map(Number);
    return { at: at!, pitch: pitch! };
  });
}

/** The median pitch from 0.3 s to 1.2 s. */
async function medianPitch(bytes: Uint8Array): Promise<number> {
  const steady = (await heard(bytes)).filter(({ at }) => at > 0.3 && at < 1.2);
  const pitches = steady.map(({ pitch }) => pitch).sort((a, b) => a - b);
  expect(pitches.length).toBeGreaterThan(15);
  return pitches[pitches.length >> 1]!;
}

const options = { sampleRate: RATE, seed: 1, seats: SEATS, tailSeconds: 1.8 };

describe('the ruler', () => {
  it.each([28, 47, 88])('reads a sine at the pitch of note %i within 0.5 cents', async (note) => {
    const step = (2 * Math.PI * 440 * 2 ** ((note - 69) / 12)) / RATE;
    const left = Float32Array.from({ length: 1.8 * RATE }, (_, i) => 0.3 * Math.sin(step * i));
    const pitch = await medianPitch(
      wavBytes([{ left, right: left }], { sampleRate: RATE, seed: 1 }),
    );
    expect(Math.abs(100 * (pitch - note))).toBeLessThan(0.5);
  });
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
