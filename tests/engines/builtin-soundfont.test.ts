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
import type { SeatSound } from '../../src/engine/seat-sound.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import {
  mix,
  off,
  on,
  partial,
  peak,
  rendered,
  renderedBoth,
  rms,
  ROOM,
  RATE,
  steepest,
} from '../engine/builtin/helpers.js';
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

async function font(seats: readonly SeatSound[] = SEATS): Promise<Synth> {
  const synth = await readSoundFont(FONT, { sampleRate: RATE, seats }, tell);
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

describe('a room of all kinds on a SoundFont', () => {
  const [, KEYS, PIPE, DRUMS] = [0, 1, 2, 3];
  const both = async (
    events: VoiceEvent[],
    seconds: number,
    seats = ROOM,
  ): Promise<{ left: Float32Array; right: Float32Array }> =>
    renderedBoth(events, seconds, { seats, synth: await font(seats) });
  const one = async (events: VoiceEvent[], seconds: number): Promise<Float32Array> =>
    (await both(events, seconds)).left;
  const hz = (note: number): number => 440 * 2 ** ((note - 69) / 12);
  const blow = on({ seat: PIPE, note: 72, how: 'blow' });

  it('plays chords on keys, and ends them note by note', async () => {
    const chord = [60, 64, 67].map((note, i) =>
      on({ seat: KEYS, note, voice: i + 1, string: i, how: 'press' }),
    );
    const end = off({ seat: KEYS, voice: 2, string: 1, note: 64, t: 300_000 });
    const samples = await one([...chord, end], 1.5);
    const size = (note: number): number => partial(samples, 1.2 * RATE, 0.25 * RATE, hz(note)).size;
    expect(size(60)).toBeGreaterThan(10 * size(64));
    expect(size(67)).toBeGreaterThan(10 * size(64));
  });

  it('keeps a key on while another pad still sounds it', async () => {
    const twice = [1, 2].map((voice) => on({ seat: KEYS, note: 60, voice, string: voice }));
    const first = off({ seat: KEYS, voice: 1, string: 1, note: 60, t: 300_000 });
    const second = off({ seat: KEYS, voice: 2, string: 2, note: 60, t: 300_000 });
    const still = rms((await one([...twice, first], 1)).subarray(RATE));
    const gone = rms((await one([...twice, first, second], 1)).subarray(RATE));
    expect(still).toBeGreaterThan(10 * gone);
  });

  it('plays drums as percussion: the key chooses the drum, and a closed hi-hat ends an open one', async () => {
    const hit = (note: number, over = {}): VoiceEvent =>
      on({ seat: DRUMS, note, string: note, velocity: 127, how: 'hit', ...over });
    const crossings = (samples: Float32Array): number =>
      samples.reduce((sum, x, i) => sum + (i > 0 && x * samples[i - 1]! < 0 ? 1 : 0), 0);
    const bass = crossings((await one([hit(36)], 0.3)).subarray(0, 0.2 * RATE));
    const hat = crossings((await one([hit(42)], 0.3)).subarray(0, 0.05 * RATE));
    expect(bass / 0.2).toBeLessThan(600);
    expect(hat / 0.05).toBeGreaterThan(6_000);
    const closed = hit(42, { voice: 2, velocity: 1, t: 60_000 });
    const late = (samples: Float32Array): number => rms(samples.subarray(0.2 * RATE, 0.3 * RATE));
    const free = late(await one([hit(46)], 0.4));
    expect(late(await one([hit(46), closed], 0.4))).toBeLessThan(0.1 * free);
  });

  it('gives a seat its level and its place from the start', async () => {
    const seats = ROOM.map((seat) => ({ ...seat, level: 0.25, pan: 1 }));
    const { left, right } = await both([blow], 0.5, seats);
    const middle = await both([blow], 0.5);
    expect(peak(left)).toBeLessThan(5e-3 * peak(right));
    // At one side alone it is √2 as loud there.
    expect(rms(right) / rms(middle.right)).toBeCloseTo(0.25 * Math.SQRT2, 2);
  });

  it('lets a mix change level and pan of what sounds, without a click', async () => {
    const change = mix({ t: 400_000, seat: PIPE, sound: 75, level: 0.25, pan: -1 });
    const plain = await both([blow], 1);
    const { left, right } = await both([blow, change], 0.6);
    const end = (samples: Float32Array): number => rms(samples.subarray(0.8 * RATE, 0.95 * RATE));
    expect(end(left) / end(plain.left)).toBeCloseTo(0.25 * Math.SQRT2, 1);
    expect(end(right)).toBeLessThan(0.02 * end(plain.right));
    const calm = steepest(plain.left.subarray(0.3 * RATE, 0.9 * RATE));
    for (const side of [left, right]) {
      expect(steepest(side.subarray(0.3 * RATE, 0.9 * RATE))).toBeLessThan(1.1 * calm);
    }
  });

  it('to level 0 is silent', async () => {
    const change = mix({ t: 400_000, seat: PIPE, sound: 75, level: 0 });
    const { left } = await both([blow, change], 1);
    expect(peak(left.subarray(0.8 * RATE, 1.3 * RATE))).toBeLessThan(1e-4);
  });

  it('takes another sound for the notes that begin from then on', async () => {
    const key = on({ seat: KEYS, note: 60, how: 'press' });
    const organ = mix({ seat: KEYS, sound: 20, t: 200_000 });
    const again = [off({ seat: KEYS, t: 300_000 }), { ...key, voice: 2, t: 900_000 }];
    const piano = await one([key, ...again], 2);
    const changed = await one([key, organ, ...again], 2);
    expect(changed.subarray(0, 0.3 * RATE)).toEqual(piano.subarray(0, 0.3 * RATE));
    const held = (samples: Float32Array): number =>
      rms(samples.subarray(2.5 * RATE, 2.8 * RATE)) / rms(samples.subarray(RATE, 1.3 * RATE));
    expect(held(changed)).toBeGreaterThan(2 * held(piano));
  });

  it('bends a pipe to another fingering', async () => {
    const slur = [
      blow,
      off({ seat: PIPE, note: 72, t: 150_000, slurred: true }),
      on({ seat: PIPE, voice: 2, note: 76, t: 150_000, how: 'finger' }),
    ];
    const samples = await one(slur, 1);
    const size = (note: number): number => partial(samples, 0.4 * RATE, 0.5 * RATE, hz(note)).size;
    expect(size(76)).toBeGreaterThan(10 * size(72));
  });
});

describe('a SoundFont that cannot be used', () => {
  it.each([
    ['/no/such/file.sf2', /There is no such SoundFont file/],
    [tmpdir(), /is a folder/],
    [new URL(import.meta.url).pathname, /is no SoundFont that can be played/],
  ])('%s is told of, and the own voices are to play', async (path, what) => {
    told.length = 0;
    expect(await readSoundFont(path, { sampleRate: RATE, seats: SEATS }, tell)).toBeUndefined();
    expect(told).toHaveLength(1);
    expect(told[0]).toMatchObject({ level: 'warn', where: path });
    expect(told[0]!.what).toMatch(what);
    expect(told[0]!.next).toMatch(/own voices play instead/);
    told.length = 0;
  });
});
