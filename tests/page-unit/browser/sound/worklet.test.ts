import { beforeEach, describe, expect, it } from 'vitest';
import { createRenderer } from '../../../../src/engine/builtin/renderer.js';
import { CLASS_CEILING } from '../../../../src/instrument/ceiling.js';
import { PAGE_CEILING } from '../../../../src/page/browser/sound/ceiling.js';
import type { ToRenderer } from '../../../../src/page/browser/sound/messages.js';
import { MOST_WAITING } from '../../../../src/page/browser/sound/waiting-events.js';
import type { VoiceEvent } from '../../../../src/room/voice.js';
import { seededNumbers } from '../../../../src/demo/gestures.js';
import { mix, off, on, ROOM } from '../../../engine/builtin/helpers.js';
import { drive, QUANTUM, type Driven } from './processor.js';

const SEED = 11;
const begin = (patience = Infinity): ToRenderer => ({
  type: 'begin',
  seats: ROOM,
  seed: SEED,
  ceiling: PAGE_CEILING,
  patience,
});

/** Every kind, slurs, levels, places and sounds that change, a silence, and notes after it. */
const SONG: readonly VoiceEvent[] = [
  on({ voice: 1, note: 33, velocity: 120 }),
  on({ voice: 2, seat: 1, note: 60, how: 'press', t: 20_013 }),
  on({ voice: 3, seat: 2, note: 74, how: 'blow', t: 40_001 }),
  on({ voice: 4, seat: 3, note: 38, how: 'hit', t: 61_777 }),
  mix({ seat: 0, level: 0.3, pan: -0.8, t: 90_000 }),
  mix({ seat: 1, level: 0.9, pan: 1, sound: 20, t: 90_000 }),
  off({ voice: 1, slurred: true, t: 120_000 }),
  on({ voice: 5, note: 36, how: 'hammer', t: 120_000 }),
  off({ voice: 3, seat: 2, note: 74, slurred: true, t: 150_500 }),
  on({ voice: 6, seat: 2, note: 76, how: 'finger', t: 150_500 }),
  on({ voice: 7, seat: 1, string: 1, note: 64, how: 'press', velocity: 127, t: 170_333 }),
  on({ voice: 8, seat: 3, string: 1, note: 46, how: 'hit', t: 200_000 }),
  on({ voice: 9, seat: 3, string: 2, note: 42, how: 'hit', t: 230_000 }),
  off({ voice: 2, seat: 1, note: 60, t: 250_000 }),
  { type: 'silence', t: 300_000 },
  on({ voice: 10, note: 40, string: 2, t: 310_000 }),
];
const SECONDS = 0.6;

const framesOf = (rate: number, from = 0): number[] =>
  SONG.map(({ t }) => from + Math.round((t * rate) / 1e6));

/** What the renderer of the Node side gives for the same events. */
function expected(rate: number, later = 0): { left: number[]; right: number[] } {
  const options = { sampleRate: rate, seed: SEED, seats: ROOM, ceiling: PAGE_CEILING };
  const renderer = createRenderer(options);
  for (const [i, frame] of framesOf(rate).entries()) renderer.handle(SONG[i]!, frame + later);
  const length = Math.ceil((SECONDS * rate + later) / QUANTUM) * QUANTUM;
  const left = new Float32Array(length);
  const right = new Float32Array(length);
  renderer.render(left, right);
  return { left: [...left], right: [...right] };
}

/** Where two sounds differ first; −1: nowhere. */
function difference(one: readonly number[], other: readonly number[]): number {
  if (one.length !== other.length) return Math.min(one.length, other.length);
  return one.findIndex((sample, i) => sample !== other[i]);
}

let at: Driven;
beforeEach(async () => {
  at = await drive(48_000);
});
const loudest = (samples: readonly number[]): number =>
  samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);

describe('the renderer in a browser', () => {
  it.each([44_100, 48_000, 96_000])(
    'gives the very samples of the Node side at %i Hz, wherever its clock begins',
    async (rate) => {
      const { left, right } = expected(rate);
      for (const from of [0, 12_345 * QUANTUM]) {
        at = await drive(rate, from);
        at.post(begin());
        at.post({ type: 'events', events: SONG, frames: framesOf(rate, from) });
        at.run(SECONDS * rate);
        expect(difference(at.left, left)).toBe(-1);
        expect(difference(at.right, right)).toBe(-1);
      }
      expect(loudest(left)).toBeGreaterThan(0.05);
      expect(difference(left, right)).not.toBe(-1);
    },
  );

  it('keeps onsets to the frame though messages come up to 2 ms early or late', () => {
    const random = seededNumbers(5);
    const ahead = 0.03 * 48_000;
    const jitter = 0.002 * 48_000;
    // As they were sent: a MessagePort keeps their order.
    let comes = 0;
    const coming = framesOf(48_000).map((frame, i) => {
      comes = Math.max(comes, frame + (2 * random() - 1) * jitter);
      return { event: SONG[i]!, frame: frame + ahead, comes };
    });
    at.post(begin());
    while (at.frame < SECONDS * 48_000 + ahead) {
      for (const one of coming.filter(({ comes }) => comes < at.frame + QUANTUM)) {
        at.post({ type: 'events', events: [one.event], frames: [one.frame] });
        coming.splice(coming.indexOf(one), 1);
      }
      at.run(QUANTUM);
    }
    expect(coming).toHaveLength(0);
    expect(difference(at.left, expected(48_000, ahead).left)).toBe(-1);
    at.post({ type: 'alive' });
    expect(at.told.at(-1)).toMatchObject({ type: 'told', late: 0 });
  });

  it('plays what comes too late at once, and says by how much it was', () => {
    at.post(begin());
    at.run(4_800);
    at.post({ type: 'events', events: [on()], frames: [4_000] });
    at.run(480);
    expect(loudest(at.left)).toBeGreaterThan(0);
    at.post({ type: 'alive' });
    expect(at.told.at(-1)).toMatchObject({ late: at.frame - 512 - 4_000 });
    at.post({ type: 'alive' });
    expect(at.told.at(-1)).toMatchObject({ late: 0 });
  });

  it('is silent at once, and of what waited keeps only how seats are mixed', () => {
    at.post(begin());
    const frames = [0, 0, 9_600, 9_600];
    const waiting = [
      on(),
      on({ voice: 2, seat: 1 }),
      on({ voice: 3, string: 1 }),
      mix({ level: 0 }),
    ];
    at.post({ type: 'events', events: waiting, frames });
    at.run(4_800);
    expect(loudest(at.left)).toBeGreaterThan(0.01);
    at.post({ type: 'silence' });
    const from = at.frame;
    at.run(48_000);
    // 4 ms of dying away, and the limiter's look-ahead.
    expect(loudest(at.left.slice(from + 0.007 * 48_000))).toBe(0);
    at.post({ type: 'events', events: [on({ voice: 4 })], frames: [0] });
    at.run(4_800);
    expect(loudest(at.left.slice(from + 48_000))).toBe(0);
    at.post({ type: 'events', events: [on({ voice: 5, seat: 1 })], frames: [0] });
    at.run(4_800);
    expect(loudest(at.left.slice(from + 52_800))).toBeGreaterThan(0.01);
  });

  it('ends what sounds where the page is not heard of for too long, and plays on when it is', () => {
    const organ = { seats: [{ ...ROOM[1]!, sound: 20 }], patience: 0.5 };
    at.post({ ...(begin() as Extract<ToRenderer, { type: 'begin' }>), ...organ });
    at.post({ type: 'events', events: [on({ how: 'press', note: 60 })], frames: [0] });
    at.run(0.49 * 48_000);
    expect(loudest(at.left.slice(-4_800))).toBeGreaterThan(0.01);
    at.run(0.05 * 48_000);
    expect(loudest(at.left.slice(-480))).toBe(0);
    at.post({ type: 'alive' });
    at.post({ type: 'events', events: [on({ voice: 2, how: 'press', note: 60 })], frames: [0] });
    at.run(4_800);
    expect(loudest(at.left.slice(-4_800))).toBeGreaterThan(0.01);
  });

  it('ends everything where more waits than it holds, and says so', () => {
    at.post(begin());
    const events = Array.from({ length: MOST_WAITING + 1 }, (_, i) => on({ voice: i + 1 }));
    at.post({ type: 'events', events, frames: events.map(() => 9_600) });
    expect(at.told.at(-1)).toEqual({ type: 'overflow' });
    at.run(19_200);
    expect(loudest(at.left)).toBe(0);
    at.post({ type: 'events', events: [on()], frames: [0] });
    at.run(4_800);
    expect(loudest(at.left)).toBeGreaterThan(0.01);
  });

  it('is silent before it was told what to make voices for', () => {
    at.post({ type: 'alive' });
    at.post({ type: 'silence' });
    at.post({ type: 'events', events: [on()], frames: [0] });
    at.run(480);
    expect(loudest(at.left)).toBe(0);
    expect(at.told).toEqual([]);
  });

  it('holds by itself the ceiling that holds where a room names none', () => {
    expect(PAGE_CEILING).toEqual(CLASS_CEILING);
  });
});
