import fc from 'fast-check';
import { expect, it } from 'vitest';
import { Holds } from '../../../src/page/browser/drawing/holds.js';

function playing() {
  const told: string[] = [];
  const down = new Set<number>();
  const holds = new Holds(
    (pad, strength) => {
      expect(down.has(pad), 'pressed while it is down').toBe(false);
      down.add(pad);
      told.push(`press ${String(pad)} ${String(strength)}`);
    },
    (pad) => {
      expect(down.delete(pad), 'released while it is up').toBe(true);
      told.push(`release ${String(pad)}`);
    },
  );
  return { holds, told, down };
}

it('presses a pad as its first finger comes, and releases it as its last one goes', () => {
  const { holds, told } = playing();
  holds.put('finger 1', 4, 0.5);
  holds.put('finger 2', 4, 1);
  holds.letGo('finger 1');
  holds.letGo('finger 2');
  expect(told).toEqual(['press 4 0.5', 'release 4']);
});

it('slides from pad to pad without leaving the string in between', () => {
  const { holds, told } = playing();
  holds.put('finger 1', 4, 0.5);
  holds.put('finger 1', 8, 0.9);
  expect(told).toEqual(['press 4 0.5', 'press 8 0.9', 'release 4']);
});

it('comes back from beside the instrument as a new touch', () => {
  const { holds, told } = playing();
  holds.put('finger 1', 4, 0.5);
  holds.put('finger 1', null, 0);
  holds.put('finger 1', 4, 0.7);
  expect(told).toEqual(['press 4 0.5', 'release 4', 'press 4 0.7']);
});

it('keeps a latched fret while its pluck is pressed', () => {
  const { holds, told } = playing();
  holds.put('latch 0', 0, 0.7);
  holds.put('key', 16, 0.7);
  holds.letGo('key');
  expect(told).toEqual(['press 0 0.7', 'press 16 0.7', 'release 16']);
  expect(holds.held(0)).toBe(true);
});

it('presses and releases in turn whatever fingers do, and leaves nothing held', () => {
  const finger = fc.constantFrom('finger 1', 'finger 2', 'key', 'latch 3');
  const moves = fc.array(fc.tuple(finger, fc.option(fc.nat(4), { nil: null })));
  fc.assert(
    fc.property(moves, (all) => {
      const { holds, down } = playing();
      for (const [holder, pad] of all) {
        holds.put(holder, pad, 1);
        for (const one of down) expect(holds.held(one)).toBe(true);
        if (pad !== null) expect(down.has(pad)).toBe(true);
      }
      holds.letGoAll();
      expect(down.size).toBe(0);
    }),
  );
});
