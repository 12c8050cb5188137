import { describe, expect, it } from 'vitest';
import { panGains } from '../../../src/engine/builtin/bus.js';
import type { VoiceEvent } from '../../../src/room/voice.js';
import {
  centroid,
  db,
  mix,
  off,
  on,
  peak,
  rendered,
  renderedBoth,
  rms,
  ROOM,
  RATE,
  steepest,
} from './helpers.js';

/** A pipe that is blown and stands: what changes in it is the mix alone. */
const tone = on({ seat: 2, note: 72, velocity: 127, strength: 1, how: 'blow' });
const seats = ROOM;
const steady = rendered([tone], 1, { seats });
/** Mixes for the pipe's seat. */
const pipe = (over: Parameters<typeof mix>[0]): VoiceEvent => mix({ seat: 2, sound: 75, ...over });

describe('the pan law', () => {
  // Constant power: the middle is −3 dB of either end (common practice); here the middle is 0 dB.
  it.each([
    [-1, 3.01, -Infinity],
    [-0.5, 2.32, -5.33],
    [0, 0, 0],
    [0.5, -5.33, 2.32],
    [1, -Infinity, 3.01],
  ])('at %f is %f dB left and %f dB right', (pan, left, right) => {
    const gains = panGains(pan).map((gain) => (gain < 1e-7 ? -Infinity : db(gain)));
    for (const [i, wanted] of [left, right].entries()) {
      if (wanted === -Infinity) expect(gains[i]).toBe(wanted);
      else expect(gains[i]).toBeCloseTo(wanted, 2);
    }
  });

  it('keeps the power the same everywhere', () => {
    for (let pan = -1; pan <= 1; pan += 0.05) {
      const [left, right] = panGains(pan);
      expect(left * left + right * right).toBeCloseTo(2, 5);
    }
  });

  it('as heard: a seat is where its file puts it, and where a mix puts it', () => {
    const begin = { seats: [...ROOM.slice(0, 2), { ...ROOM[2]!, pan: -1 }] };
    const atLeft = renderedBoth([tone], 0.5, begin);
    expect(peak(atLeft.right)).toBeLessThan(1e-8);
    const middle = (samples: Float32Array): number => rms(samples.subarray(4_800, 19_200));
    expect(db(middle(atLeft.left) / middle(steady))).toBeCloseTo(3.01, 2);
    const moved = renderedBoth([pipe({ pan: 0.5 }), tone], 0.5, begin);
    expect(db(middle(moved.right) / middle(moved.left))).toBeCloseTo(7.656, 2);
  });

  it('leaves a seat in the middle exactly as loud as without it', () => {
    const { left, right } = renderedBoth([pipe({}), tone], 1, { seats });
    expect(left).toEqual(steady);
    expect(right).toEqual(steady);
  });
});

describe('a mix', () => {
  const at = 500_000;
  const after = (0.5 + 0.01) * RATE;

  it.each([0.5, 0.25])('sets the level to %f, applied to the amplitude', (level) => {
    const samples = rendered([tone, pipe({ t: at, level })], 0.5, { seats });
    for (let i = after; i < after + 2_000; i += 7) {
      expect(samples[i]).toBeCloseTo(level * steady[i]!, 6);
    }
    expect(samples.subarray(0, 0.4 * RATE)).toEqual(steady.subarray(0, 0.4 * RATE));
  });

  it('to level 0 is silent after 10 ms, though its notes are still on, and back again is heard', () => {
    const events = [tone, pipe({ t: at, level: 0 }), pipe({ t: 700_000, level: 1 })];
    const samples = rendered(events, 0.3, { seats });
    expect(peak(samples.subarray(after, 0.7 * RATE))).toBe(0);
    const end = samples.subarray(0.72 * RATE, 0.98 * RATE);
    expect(end).toEqual(steady.subarray(0.72 * RATE, 0.98 * RATE));
  });

  it('makes no click: no step between two samples is larger than the tone has itself', () => {
    const calm = steepest(steady.subarray(0.3 * RATE, 0.9 * RATE));
    const changes = [
      pipe({ t: at, level: 0 }),
      pipe({ t: 600_000, level: 1 }),
      pipe({ t: 604_000, level: 0.1 }),
      pipe({ t: 700_000, level: 0.7, pan: -1 }),
      pipe({ t: 800_000, level: 0.7, pan: 1 }),
    ];
    const { left, right } = renderedBoth([tone, ...changes], 0.1, { seats });
    const scene = (s: Float32Array): Float32Array => s.subarray(0.3 * RATE, 0.88 * RATE);
    // A seat at one side is √2 as loud there.
    expect(steepest(scene(left))).toBeLessThan(1.05 * calm);
    expect(steepest(scene(right))).toBeLessThan(1.05 * calm);
  });

  it('comes at once where nothing sounds on the seat, so that a note after it begins as it should', () => {
    const events = [pipe({ level: 0 }), pipe({ t: 100_000, level: 1 }), { ...tone, t: 100_000 }];
    const samples = rendered(events, 0.3, { seats });
    expect(samples.subarray(0.1 * RATE, 0.3 * RATE)).toEqual(steady.subarray(0, 0.2 * RATE));
  });

  it('leaves the other seats alone', () => {
    const drum = on({ voice: 2, seat: 3, note: 38, how: 'hit' });
    const quiet = [tone, pipe({ t: 0, level: 0 }), { ...drum, t: 300_000 }];
    const alone = rendered([{ ...drum, t: 300_000 }], 0.3, { seats });
    expect(rendered(quiet, 0.3, { seats }).subarray(0.2 * RATE)).toEqual(
      alone.subarray(0.2 * RATE),
    );
  });

  it('changes the sound of the notes that begin from then on, and of no other', () => {
    const key = on({ seat: 1, note: 60, how: 'press' });
    const change = mix({ t: 300_000, seat: 1, sound: 19 });
    const next = [off({ t: 400_000, seat: 1 }), { ...key, t: 500_000, voice: 2 }];
    const before = rendered([key], 0.6, { seats });
    const changed = rendered([key, change, ...next], 0.5, { seats });
    expect(changed.subarray(0, 0.4 * RATE)).toEqual(before.subarray(0, 0.4 * RATE));
    // An organ stands where a piano's string has faded.
    const piano = rendered([key, ...next], 0.5, { seats });
    const fade = (s: Float32Array): number =>
      db(rms(s.subarray(0.9 * RATE, 0.95 * RATE)) / rms(s.subarray(0.55 * RATE, 0.6 * RATE)));
    expect(fade(piano)).toBeLessThan(-2);
    expect(Math.abs(fade(changed))).toBeLessThan(0.1);
    expect(centroid(changed.subarray(0.6 * RATE, 0.9 * RATE), 261.63)).not.toBeCloseTo(
      centroid(piano.subarray(0.6 * RATE, 0.9 * RATE), 261.63),
      0,
    );
  });
});
