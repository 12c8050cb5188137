import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { renderWav } from '../../src/engine/builtin/offline.js';
import type { Synth } from '../../src/engine/builtin/synth.js';
import type { Notice } from '../../src/ports/contracts.js';
import { readSoundFont } from '../../src/ports/sound/soundfont-file.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { off, on, peak, rendered, rms, RATE } from '../engine/builtin/helpers.js';
import { seatSound } from '../support/seat-sound.js';

/* The General MIDI set of Debian's package timgm6mb-soundfont. */
const FONT = '/usr/share/sounds/sf2/TimGM6mb.sf2';
/** Twelve players of four strings: more channels than MIDI's sixteen, and percussion channels between. */
const SEATS = Array.from({ length: 12 }, (_, i) => ({
  ...seatSound({ name: `seat ${String(i + 1)}`, sound: 34, strings: 4 }),
  level: i === 1 ? 0.5 : 1,
}));
const run = promisify(execFile);
let folder: string;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'soundfont-'));
});
afterAll(() => rm(folder, { recursive: true }));

const told: Notice[] = [];
const tell = (notice: Notice): void => void told.push(notice);

async function font(): Promise<Synth> {
  const synth = await readSoundFont(FONT, { sampleRate: RATE, seats: SEATS }, tell);
  expect(told).toEqual([]);
  return synth!;
}

async function play(events: VoiceEvent[], seconds: number): Promise<Float32Array> {
  return rendered(events, seconds, { seats: SEATS, synth: await font() });
}

/** The median MIDI pitch that aubio hears from `from` to `to`, in seconds. */
async function pitch(events: VoiceEvent[], from: number, to: number): Promise<number> {
  const file = join(folder, 'note.wav');
  const options = { sampleRate: RATE, seed: 1, seats: SEATS, tailSeconds: 1.5 };
  await writeFile(file, renderWav(events, { ...options, synth: await font() }));
  const args = [
    '-i',
    file,
    '-r',
    '0',
    '-p',
    'yin',
    '-u',
    'midi',
    '-s',
    '-100',
    '-B',
    '8192',
    '-H',
    '2048',
  ];
  const { stdout } = await run('aubiopitch', args);
  const rows = stdout.split('\n').map((line) => line.split(/\s+/).map(Number));
  const inside = rows.filter(([at]) => at! > from && at! < to).map(([, heard]) => heard!);
  return inside.sort((a, b) => a - b)[inside.length >> 1]!;
}

describe('a SoundFont', () => {
  it.each([0, 2, 3, 11])('plays the notes of seat %i at their pitch', async (seat) => {
    for (const string of [0, 1, 3]) {
      const heard = await pitch([on({ seat, string, note: 40 })], 0.3, 1.2);
      expect(Math.abs(100 * (heard - 40))).toBeLessThan(15);
    }
  });

  it('is louder for a harder touch, and follows the level of the seat', async () => {
    const soft = rms(await play([on({ velocity: 40 })], 0.3));
    const hard = rms(await play([on({ velocity: 120 })], 0.3));
    const half = rms(await play([on({ velocity: 120, seat: 1 })], 0.3));
    expect(hard).toBeGreaterThan(2 * soft);
    expect(half / hard).toBeCloseTo(0.5, 2);
    expect(20 * Math.log10(peak(await play([on({ velocity: 127 })], 0.3)))).toBeGreaterThan(-20);
  });

  it('bends a slur to its pitch, and ends it by the off of the voice it became', async () => {
    const slur = [
      on({ note: 33 }),
      off({ t: 150_000, slurred: true }),
      on({ t: 150_000, voice: 2, note: 36, how: 'hammer' }),
    ];
    expect(Math.abs(100 * ((await pitch(slur, 0.4, 1.2)) - 36))).toBeLessThan(15);
    const samples = await play([...slur, off({ t: 500_000, voice: 2 })], 3);
    expect(peak(samples.subarray(3 * RATE))).toBeLessThan(1e-3);
    // The next note of the string is not bent any more.
    const next = [...slur, off({ t: 300_000, voice: 2 }), on({ t: 300_000, voice: 3, note: 33 })];
    expect(Math.abs(100 * ((await pitch(next, 0.8, 1.6)) - 33))).toBeLessThan(15);
  });

  it('is silent within 10 ms of a silence, and plays what comes right after', async () => {
    const events: VoiceEvent[] = [on(), { type: 'silence', t: 500_000 }];
    expect(peak((await play(events, 1)).subarray(0.51 * RATE))).toBe(0);
    const next = await play([...events, on({ t: 501_000, voice: 2 })], 1);
    expect(peak(next.subarray(0.7 * RATE, 0.9 * RATE))).toBeGreaterThan(0.01);
  });
});

describe('a SoundFont that cannot be used', () => {
  it.each([
    ['/no/such/file.sf2', /There is no such SoundFont file/],
    [tmpdir(), /is a folder/],
    [new URL(import.meta.url).pathname, /is no SoundFont that can be played/],
  ])('%s is told of, and the own strings are to play', async (path, what) => {
    told.length = 0;
    expect(await readSoundFont(path, { sampleRate: RATE, seats: SEATS }, tell)).toBeUndefined();
    expect(told).toHaveLength(1);
    expect(told[0]).toMatchObject({ level: 'warn', where: path });
    expect(told[0]!.what).toMatch(what);
    expect(told[0]!.next).toMatch(/own strings play instead/);
    told.length = 0;
  });
});
