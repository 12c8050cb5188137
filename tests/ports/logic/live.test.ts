import { afterEach, expect, it, vi } from 'vitest';
import type { Rules } from '../../../src/instrument/types.js';
import type { Notice } from '../../../src/ports/contracts.js';
import { loadWholeRoom } from '../../../src/ports/files/room.js';
import { liveRoom, type LiveRoom } from '../../../src/ports/room/live.js';
import { liveSeats } from '../../support/live-seats.js';
import { newKit, sounding } from './modules.js';

const kit = newKit();
let live: LiveRoom | undefined;
afterEach(async () => {
  await live?.close();
  kit.remove();
});

it('a saved module is in effect, and one that is named with a mistake once that is fixed', async () => {
  const seat = '{ name: north, instrument: bass-4x4, from: { player: demo }, rules: own }';
  kit.put('rooms/class.yaml', `seats:\n  - ${seat}\n`);
  kit.put('rules/own.yaml', 'logic: ../own.ts\n');
  kit.put('own.ts', sounding(61));
  const swapped: (Rules | undefined)[] = [];
  const told: Notice[] = [];
  const whole = await loadWholeRoom('class', kit.folder);
  live = liveRoom({
    name: 'class',
    folder: kit.folder,
    whole,
    apply: liveSeats(whole, kit.folder, {
      swap: (_, { rules }) => void swapped.push(rules),
      change: () => undefined,
    }),
    tell: (notice) => void told.push(notice),
  });
  await live.ready;
  const until = (check: () => void): Promise<void> =>
    vi.waitFor(check, { timeout: 15_000, interval: 200 });

  kit.put('own.ts', sounding(73));
  await until(() => expect(swapped.at(-1)?.logic?.code).toContain('note: 73'));

  const before = swapped.length;
  kit.put('other.ts', 'export const begin = ;\n');
  kit.put('rules/own.yaml', 'logic: ../other.ts\n');
  await until(() => expect(told.at(-1)?.where).toMatch(/other\.ts:1:22$/));
  expect(swapped).toHaveLength(before);

  // Saved again and again: a file is watched from a moment after the notice on.
  await until(() => {
    kit.put('other.ts', sounding(80));
    expect(swapped.at(-1)?.logic?.code).toContain('note: 80');
  });
});
