import { describe, expect, it } from 'vitest';
import { createRenderer, type Renderer } from '../../../../src/engine/builtin/renderer.js';
import { PAGE_CEILING } from '../../../../src/page/browser/sound/ceiling.js';
import type { FromRenderer } from '../../../../src/page/browser/sound/messages.js';
import { Rendering } from '../../../../src/page/browser/sound/rendering.js';
import type { SeatSound, VoiceEvent } from '../../../../src/room/voice.js';
import { mix, on, peak, ROOM } from '../../../engine/builtin/helpers.js';

const BLOCK = 128;

/** Renders whatever is asked, and fails in the blocks that `fails` names, counted over all renderers. */
function failing(fails: (block: number) => boolean): {
  rendering: Rendering;
  told: FromRenderer[];
  run: (blocks: number) => number;
} {
  const told: FromRenderer[] = [];
  let block = 0;
  const make: typeof createRenderer = (options) => {
    const renderer = createRenderer(options);
    return new Proxy(renderer, {
      get(target, key) {
        if (key === 'render' && fails(block)) throw new Error('no more notes');
        const value: unknown = Reflect.get(target, key, target);
        return typeof value === 'function' ? (value.bind(target) as unknown) : value;
      },
    }) satisfies Renderer;
  };
  const rendering = new Rendering(48_000, (message) => told.push(message), make);
  const begin = { seats: ROOM, seed: 1, ceiling: PAGE_CEILING, patience: Infinity };
  rendering.handle({ type: 'begin', ...begin });
  const run = (blocks: number): number => {
    let most = 0;
    for (let i = 0; i < blocks; i++, block++) {
      const left = new Float32Array(BLOCK).fill(7);
      const right = new Float32Array(BLOCK).fill(7);
      rendering.fill(left, right, block * BLOCK);
      most = Math.max(most, peak(left), peak(right));
    }
    return most;
  };
  return { rendering, told, run };
}

describe('a fault in rendering', () => {
  it('is told, silences, and begins again with the seats mixed as they were', () => {
    const { rendering, told, run } = failing((block) => block === 20);
    const events = [mix({ seat: 0, level: 0 }), on({ seat: 1 }), on({ seat: 0, voice: 2 })];
    rendering.handle({ type: 'events', events, frames: [0, 0, 0] });
    expect(run(20)).toBeGreaterThan(0.01);
    expect(run(1)).toBe(0);
    expect(told).toEqual([
      { type: 'ready' },
      { type: 'fault', why: 'no more notes', final: false },
    ]);
    expect(run(20)).toBe(0);
    rendering.handle({ type: 'events', events: [on({ seat: 0, voice: 3 })], frames: [0] });
    expect(run(20)).toBe(0);
    rendering.handle({ type: 'events', events: [on({ seat: 1, voice: 4 })], frames: [0] });
    expect(run(20)).toBeGreaterThan(0.01);
  });

  it('that comes again and again ends in silence, until it is begun again', () => {
    let broken = true;
    const { rendering, told, run } = failing(() => broken);
    rendering.handle({ type: 'events', events: [on()], frames: [0] });
    expect(run(50)).toBe(0);
    const faults = told.filter(({ type }) => type === 'fault');
    expect(faults).toHaveLength(4);
    expect(faults.at(-1)).toMatchObject({ final: true });
    broken = false;
    rendering.handle({ type: 'events', events: [on()], frames: [0] });
    expect(run(50)).toBe(0);
    const begin = { seats: ROOM, seed: 1, ceiling: PAGE_CEILING, patience: Infinity };
    rendering.handle({ type: 'begin', ...begin });
    rendering.handle({ type: 'events', events: [on()], frames: [0] });
    expect(run(50)).toBeGreaterThan(0.01);
  });

  it('in making voices is told, and nothing is thrown', () => {
    const told: FromRenderer[] = [];
    const rendering = new Rendering(
      48_000,
      (message) => told.push(message),
      () => {
        throw new Error('too many seats');
      },
    );
    const begin = { seats: ROOM, seed: 1, ceiling: PAGE_CEILING, patience: Infinity };
    rendering.handle({ type: 'begin', ...begin });
    expect(told).toEqual([{ type: 'fault', why: 'too many seats', final: true }]);
  });
});

describe('seats that come and go while others sound', () => {
  const SEATS = [ROOM[0]!, null, ROOM[1]!];
  const play = (seats: readonly (SeatSound | null)[], more: readonly VoiceEvent[]) => {
    const rendering = new Rendering(48_000, () => undefined);
    const begin = { seed: 1, ceiling: PAGE_CEILING, patience: Infinity };
    rendering.handle({ type: 'begin', seats, ...begin });
    const first = on({ seat: 0, voice: 1, note: 33 });
    rendering.handle({ type: 'events', events: [first], frames: [0] });
    const [left, right] = [new Float32Array(48_000), new Float32Array(48_000)];
    for (let at = 0; at < left.length; at += BLOCK) {
      if (at === 4_096) {
        rendering.handle({ type: 'events', events: more, frames: more.map(() => 5_000) });
      }
      const end = Math.min(left.length, at + BLOCK);
      rendering.fill(left.subarray(at, end), right.subarray(at, end), at);
    }
    return { rendering, left };
  };

  it('change no sample of what the others sound', () => {
    const alone = play(SEATS, []).left;
    expect(peak(alone)).toBeGreaterThan(0.01);
    const joined = { type: 'joined', t: 0, seat: 1, sound: ROOM[3]! } as const;
    const left = { type: 'left', t: 0, seat: 2 } as const;
    const beside = play(SEATS, [joined, left, { ...joined, seat: 5 }]).left;
    expect(beside).toEqual(alone);
    const heard = play(SEATS, [joined, on({ seat: 1, voice: 2, note: 36 })]).left;
    expect(heard).not.toEqual(alone);
  });

  it('are known after a fault', () => {
    const { rendering, told, run } = failing((block) => block === 20);
    const gone = [0, 1, 2].map((seat): VoiceEvent => ({ type: 'left', t: 0, seat }));
    const fresh: VoiceEvent = { type: 'joined', t: 0, seat: 6, sound: ROOM[1]! };
    const events = [...gone, fresh];
    rendering.handle({ type: 'events', events, frames: events.map(() => 0) });
    run(21);
    expect(told.at(-1)).toMatchObject({ type: 'fault', final: false });
    rendering.handle({ type: 'events', events: [on({ seat: 0, voice: 3 })], frames: [0] });
    expect(run(20)).toBe(0);
    rendering.handle({ type: 'events', events: [on({ seat: 6, voice: 4 })], frames: [0] });
    expect(run(20)).toBeGreaterThan(0.01);
  });
});
