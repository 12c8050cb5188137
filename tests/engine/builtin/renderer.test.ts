import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CEILING } from '../../../src/engine/builtin/limiter.js';
import { createRenderer, type Renderer } from '../../../src/engine/builtin/renderer.js';
import type { VoiceEvent } from '../../../src/room/voice.js';
import { off, on, peak, rendered, RATE, SEATS } from './helpers.js';

const renderer = (seed = 1): Renderer => createRenderer({ sampleRate: RATE, seed, seats: SEATS });

/** Renders in blocks of the given lengths, over and over, until `frames` are full. */
function inBlocks(engine: Renderer, frames: number, lengths: readonly number[]): Float32Array {
  const whole = new Float32Array(frames);
  for (let at = 0, i = 0; at < frames; i++) {
    const length = Math.min(lengths[i % lengths.length]!, frames - at);
    const left = new Float32Array(length);
    engine.render(left, new Float32Array(length));
    whole.set(left, at);
    at += length;
  }
  return whole;
}

const SONG: VoiceEvent[] = [
  on({ voice: 1, note: 28 }),
  on({ voice: 2, note: 40, string: 1, t: 10_003 }),
  off({ voice: 1, slurred: true, t: 30_001 }),
  on({ voice: 3, note: 30, how: 'slide', t: 30_001 }),
  on({ voice: 4, note: 52, seat: 1, t: 41_777 }),
  off({ voice: 2, string: 1, t: 60_000 }),
  { type: 'silence', t: 90_010 },
  on({ voice: 5, note: 45, t: 91_000 }),
];
const load = (engine: Renderer): Renderer => {
  for (const event of SONG) engine.handle(event, (event.t * RATE) / 1e6);
  return engine;
};

describe('the renderer', () => {
  it('gives the same samples for the same seed, and others for another', () => {
    const once = inBlocks(load(renderer(7)), 9_600, [128]);
    expect(inBlocks(load(renderer(7)), 9_600, [128])).toEqual(once);
    expect(inBlocks(load(renderer(8)), 9_600, [128])).not.toEqual(once);
  });

  it('gives the same samples whatever the lengths of the blocks', () => {
    const once = inBlocks(load(renderer()), 9_600, [128]);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 1500 }), { minLength: 1 }), (lengths) => {
        expect(inBlocks(load(renderer()), 9_600, lengths)).toEqual(once);
      }),
      { numRuns: 25 },
    );
  });

  it('starts a note at its very frame, later by its latency', () => {
    const engine = renderer();
    engine.handle(on(), 333);
    const samples = inBlocks(engine, 2_000, [128]);
    const first = samples.findIndex((sample) => sample !== 0);
    expect(first - engine.latency).toBe(333);
    // renderOffline takes the latency out.
    expect(rendered([on({ t: 1_000_000 })], 0.1).findIndex((sample) => sample !== 0)).toBe(RATE);
  });

  it('plays what comes too late at once', () => {
    const engine = renderer();
    inBlocks(engine, 1_000, [128]);
    engine.handle(on(), 5);
    expect(inBlocks(engine, 500, [128]).findIndex((sample) => sample !== 0)).toBe(engine.latency);
  });

  it('ends everything within 10 ms of a silence, without a click, and then gives exact zeros', () => {
    const engine = renderer();
    for (let i = 0; i < 16; i++) engine.handle(on({ voice: i + 1, string: i, note: 28 + i }), 0);
    const before = inBlocks(engine, RATE / 2, [128]);
    engine.handle({ type: 'silence', t: 0 }, engine.frame);
    const after = inBlocks(engine, RATE / 2, [128]);
    expect(peak(after.subarray(0.01 * RATE))).toBe(0);
    const steepest = (s: Float32Array): number =>
      s.reduce((most, x, i) => Math.max(most, Math.abs(x - (s[i - 1] ?? x))), 0);
    expect(steepest(after)).toBeLessThan(1.1 * steepest(before.subarray(RATE / 4)));
  });

  it('lets a note begin right after a silence', () => {
    const engine = renderer();
    engine.handle(on(), 0);
    engine.handle({ type: 'silence', t: 0 }, 4_800);
    engine.handle(on({ voice: 2, note: 40 }), 4_801);
    expect(peak(inBlocks(engine, RATE, [128]).subarray(RATE / 2))).toBeGreaterThan(0.01);
  });

  it('falls silent by itself, to exact zeros', () => {
    const samples = rendered(
      [on({ note: 88 }), on({ voice: 2, note: 28, velocity: 1, string: 1 })],
      12,
    );
    expect(peak(samples.subarray(11 * RATE, 11.9 * RATE))).toBe(0);
  });

  it('plays at most 64 voices: the faintest makes room for a 65th', () => {
    const engine = renderer();
    for (let i = 0; i < 64; i++) {
      const velocity = i === 20 ? 20 : 60;
      engine.handle(on({ voice: i + 1, string: i, note: i === 20 ? 88 : 33, velocity }), 0);
    }
    inBlocks(engine, 4_800, [128]);
    engine.handle(on({ voice: 65, string: 65, note: 40, velocity: 90 }), engine.frame);
    inBlocks(engine, 4_800, [128]);
    // The faint one is gone: ending all the others leaves nothing.
    for (let i = 0; i < 66; i++) {
      if (i !== 20) engine.handle(off({ voice: i + 1, string: i }), engine.frame);
    }
    expect(peak(inBlocks(engine, RATE / 2, [128]).subarray(RATE / 4))).toBe(0);
  });
});

const someEvent: fc.Arbitrary<VoiceEvent> = fc.oneof(
  {
    weight: 6,
    arbitrary: fc
      .record({
        voice: fc.integer({ min: 1, max: 40 }),
        seat: fc.integer({ min: 0, max: 3 }),
        string: fc.integer({ min: 0, max: 5 }),
        note: fc.integer({ min: 0, max: 127 }),
        velocity: fc.oneof(fc.integer({ min: 1, max: 127 }), fc.constantFrom(0, 500, NaN)),
        strength: fc.oneof(fc.double({ min: 0, max: 1, noNaN: true }), fc.constantFrom(-1, 9, NaN)),
      })
      .map((over) => on(over)),
  },
  {
    weight: 4,
    arbitrary: fc
      .record({
        voice: fc.integer({ min: 1, max: 40 }),
        seat: fc.integer({ min: 0, max: 3 }),
        string: fc.integer({ min: 0, max: 5 }),
        slurred: fc.boolean(),
      })
      .map((over) => off(over)),
  },
  { weight: 1, arbitrary: fc.constant<VoiceEvent>({ type: 'silence', t: 0 }) },
);

describe('whatever comes', () => {
  it('no sample is NaN or above the ceiling, and after a silence nothing is left', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 20_000 }), someEvent), { maxLength: 60 }),
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

  it('64 loud voices never pass −1 dBFS', () => {
    const voices = fc.array(
      fc.record({
        note: fc.integer({ min: 24, max: 96 }),
        frame: fc.integer({ min: 0, max: 2_000 }),
      }),
      { minLength: 64, maxLength: 64 },
    );
    fc.assert(
      fc.property(voices, fc.boolean(), (notes, together) => {
        const engine = renderer();
        for (const [i, { note, frame }] of notes.entries()) {
          const event = on({ voice: i + 1, string: i, note, velocity: 127, strength: 1 });
          engine.handle(event, together ? 0 : frame);
        }
        const samples = inBlocks(engine, 9_600, [128]);
        const most = peak(samples);
        expect(most).toBeGreaterThan(0.7);
        expect(20 * Math.log10(most)).toBeLessThanOrEqual(-1);
      }),
      { numRuns: 20 },
    );
  });
});
