import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CEILING } from '../../../src/engine/builtin/limiter.js';
import { createRenderer, type Renderer } from '../../../src/engine/builtin/renderer.js';
import type { VoiceEvent } from '../../../src/room/voice.js';
import { db, LAW, mix, off, on, peak, rendered, rms, ROOM, RATE } from './helpers.js';

/* What holds for every kind of seat, and for all of them together. */

const renderer = (seed = 1): Renderer => createRenderer({ sampleRate: RATE, seed, seats: ROOM });

function inBlocks(engine: Renderer, frames: number, lengths: readonly number[]): Float32Array {
  const whole = new Float32Array(2 * frames);
  for (let at = 0, i = 0; at < frames; i++) {
    const length = Math.min(lengths[i % lengths.length]!, frames - at);
    const left = new Float32Array(length);
    const right = new Float32Array(length);
    engine.render(left, right);
    whole.set(left, at);
    whole.set(right, frames + at);
    at += length;
  }
  return whole;
}

const SONG: VoiceEvent[] = [
  on({ voice: 1, seat: 0, note: 28 }),
  on({ voice: 2, seat: 1, note: 60, t: 1_003 }),
  on({ voice: 3, seat: 1, note: 64, string: 1, t: 2_011 }),
  on({ voice: 4, seat: 2, note: 72, how: 'blow', t: 5_000 }),
  mix({ seat: 1, level: 0.3, pan: -0.4, sound: 12, t: 11_117 }),
  on({ voice: 5, seat: 3, note: 46, how: 'hit', t: 20_001 }),
  on({ voice: 6, seat: 3, note: 39, string: 1, how: 'hit', t: 25_001 }),
  off({ voice: 4, seat: 2, slurred: true, t: 40_000 }),
  on({ voice: 7, seat: 2, note: 74, how: 'finger', t: 40_000 }),
  mix({ seat: 2, level: 0.6, pan: 1, sound: 72, t: 44_000 }),
  on({ voice: 8, seat: 3, note: 42, string: 2, how: 'hit', t: 60_001 }),
  off({ voice: 2, seat: 1, t: 70_000 }),
  on({ voice: 9, seat: 1, note: 67, string: 2, t: 80_003 }),
  { type: 'silence', t: 120_010 },
  on({ voice: 10, seat: 3, note: 58, how: 'hit', t: 121_000 }),
];
const load = (engine: Renderer): Renderer => {
  for (const event of SONG) engine.handle(event, (event.t * RATE) / 1e6);
  return engine;
};

describe('a room of all kinds', () => {
  it('gives the same samples for the same seed, and others for another', () => {
    const once = inBlocks(load(renderer(7)), 14_400, [128]);
    expect(inBlocks(load(renderer(7)), 14_400, [128])).toEqual(once);
    expect(inBlocks(load(renderer(8)), 14_400, [128])).not.toEqual(once);
  });

  it('gives the same samples whatever the lengths of the blocks', () => {
    const once = inBlocks(load(renderer()), 14_400, [128]);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 1_500 }), { minLength: 1 }), (lengths) => {
        expect(inBlocks(load(renderer()), 14_400, lengths)).toEqual(once);
      }),
      { numRuns: 25 },
    );
  });

  it('has no sample that is NaN or above the ceiling, and nothing is left after a silence', () => {
    const some = fc.oneof(
      fc
        .record({
          voice: fc.integer({ min: 1, max: 60 }),
          seat: fc.integer({ min: 0, max: 5 }),
          string: fc.integer({ min: 0, max: 5 }),
          note: fc.integer({ min: 0, max: 127 }),
          velocity: fc.oneof(fc.integer({ min: 1, max: 127 }), fc.constantFrom(0, 500, NaN)),
          strength: fc.oneof(fc.double({ min: 0, max: 1, noNaN: true }), fc.constantFrom(-1, NaN)),
        })
        .map((over): VoiceEvent => on(over)),
      fc
        .record({
          voice: fc.integer({ min: 1, max: 60 }),
          seat: fc.integer({ min: 0, max: 5 }),
          slurred: fc.boolean(),
        })
        .map((over): VoiceEvent => off(over)),
      fc
        .record({
          seat: fc.integer({ min: 0, max: 5 }),
          level: fc.double({ min: 0, max: 1, noNaN: true }),
          pan: fc.double({ min: -1, max: 1, noNaN: true }),
          sound: fc.integer({ min: 1, max: 128 }),
        })
        .map((over): VoiceEvent => mix(over)),
    );
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 20_000 }), some), { maxLength: 120 }),
        (events) => {
          const engine = renderer();
          for (const [frame, event] of events) engine.handle(event, frame);
          const samples = inBlocks(engine, 21_000, [500]);
          expect(samples.every((sample) => Math.abs(sample) <= CEILING)).toBe(true);
          engine.handle({ type: 'silence', t: 0 }, engine.frame);
          inBlocks(engine, 480, [128]);
          expect(peak(inBlocks(engine, 2_000, [128]))).toBe(0);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('does not lose a pipe that stands when the drums have too many voices', () => {
    const engine = renderer();
    engine.handle(on({ voice: 1, seat: 2, note: 72, velocity: 30, how: 'blow' }), 0);
    for (let i = 0; i < 100; i++) {
      engine.handle(on({ voice: i + 2, seat: 3, string: i, note: 36, how: 'hit' }), 100 * i);
    }
    inBlocks(engine, 4 * RATE, [480]);
    expect(peak(inBlocks(engine, 4_800, [480]))).toBeGreaterThan(0.001);
  });
});

const NOTES = [
  { kind: 'strings', seat: 0, note: 40 },
  { kind: 'keys', seat: 1, note: 60 },
  { kind: 'pipe', seat: 2, note: 79 },
  { kind: 'bass drum', seat: 3, note: 36 },
  { kind: 'snare', seat: 3, note: 38 },
  { kind: 'cowbell', seat: 3, note: 56 },
];

describe.each(NOTES)('a note of $kind', ({ seat, note }) => {
  const play = (velocity: number, strength: number): Float32Array =>
    rendered([on({ seat, note, velocity, strength })], 0.3, { seats: ROOM });
  const loud = play(127, 1);

  it.each(LAW)(
    'follows the law of velocity as heard: %i is within 1 dB of %f',
    (velocity, level) => {
      const heard = db(rms(play(velocity, velocity / 127)) / rms(loud));
      expect(Math.abs(heard - level)).toBeLessThan(1);
    },
  );

  it('stays below −6 dBFS, as loud as can be', () => {
    expect(db(peak(loud))).toBeLessThan(-6);
    expect(db(peak(loud))).toBeGreaterThan(-20);
  });

  it('has no offset', () => {
    const mean = loud.reduce((sum, sample) => sum + sample, 0) / loud.length;
    expect(Math.abs(mean)).toBeLessThan(0.003);
  });
});
