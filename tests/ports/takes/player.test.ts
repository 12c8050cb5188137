import { describe, expect, it } from 'vitest';
import { liveClock } from '../../../src/ports/live-clock.js';
import { takePlayer } from '../../../src/ports/takes/player.js';
import type { WireEvent } from '../../../src/wire/scan.js';
import { lateTimers } from '../../support/late-timers.js';

const scans = [0, 4_000, 8_000, 8_000, 500_000].map((t): WireEvent => ({
  type: 'scan',
  t,
  inputs: [0],
  raws: [t / 1_000],
}));

describe('takePlayer', () => {
  it('brings every event with its own time, however late the timers are', () => {
    const timers = lateTimers(() => 1, 2.5);
    const heard: unknown[] = [];
    takePlayer(3, scans, liveClock(timers), timers).events.subscribe({
      next: ({ t, seat, event }) => heard.push([t, event.t, seat]),
      complete: () => heard.push('end'),
    });
    expect(heard).toEqual([]);
    timers.run();
    expect(heard).toEqual([
      [0, 0, 3],
      [4_000, 4_000, 3],
      [8_000, 8_000, 3],
      [8_000, 8_000, 3],
      [500_000, 500_000, 3],
      'end',
    ]);
  });

  it('ends at once when it is closed', async () => {
    const timers = lateTimers(() => 1, 0);
    const heard: unknown[] = [];
    const player = takePlayer(0, scans, liveClock(timers), timers);
    player.events.subscribe({
      next: (event) => heard.push(event),
      complete: () => heard.push('end'),
    });
    await player.close();
    timers.run();
    expect(heard).toEqual(['end']);
  });
});
