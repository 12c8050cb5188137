import { describe, expect, it } from 'vitest';
import type { TouchEvent } from '../../src/pads/touch.js';
import { holdGesture } from '../../src/playing/hold-gesture.js';
import { runStage } from '../support/run-stage.js';

const on = (t: number, pad: number): TouchEvent => ({ type: 'onset', t, pad });
const off = (t: number, pad: number): TouchEvent => ({ type: 'lift', t, pad });

function seenAt(events: TouchEvent[]): { seen: number[]; out: TouchEvent[] } {
  const seen: number[] = [];
  const stage = holdGesture({ pads: [3, 9], hold: 1_000 }, (t) => seen.push(t));
  return { out: runStage(stage, events), seen };
}

describe('pads held together', () => {
  it('are seen once, when the last of them was held long enough', () => {
    const { seen } = seenAt([on(0, 3), on(500, 9), off(5_000, 9), off(5_000, 3)]);
    expect(seen).toEqual([1_500]);
  });

  it('are seen again only after one was let go', () => {
    const events = [on(0, 3), on(0, 9), on(2_000, 1), off(3_000, 3), on(4_000, 3)];
    expect(seenAt(events).seen).toEqual([1_000, 5_000]);
  });

  it('mean nothing where one is let go too soon, or others are held', () => {
    expect(seenAt([on(0, 3), on(0, 9), off(999, 3), on(5_000, 4)]).seen).toEqual([]);
    expect(seenAt([on(0, 3), on(0, 4), on(0, 5)]).seen).toEqual([]);
  });

  it('are forgotten at a reset', () => {
    const { seen } = seenAt([on(0, 3), { type: 'reset', t: 10, why: 'lost' }, on(20, 9)]);
    expect(seen).toEqual([]);
  });

  it('lose no touch on the way', () => {
    const events = [on(0, 3), on(0, 9), on(2_000, 1), off(3_000, 3)];
    expect(seenAt(events).out).toEqual(events);
  });
});
