import { afterEach, describe, expect, it } from 'vitest';
import { PLAIN } from '../../../src/engine/osc-messages.js';
import { liveClock } from '../../../src/ports/live-clock.js';
import { oscEngine } from '../../../src/ports/osc/engine.js';
import { wallClock } from '../../../src/ports/osc/wall-clock.js';
import type { VoiceOn } from '../../../src/room/voice.js';
import { readWithBoth } from '../../engine/osc-readers.js';
import { listener, otherSide } from './hands.js';
import { seatSound } from '../../support/seat-sound.js';

const open: { close: () => Promise<void> }[] = [];
afterEach(async () => {
  for (const one of open.splice(0)) await one.close();
});

const seats = [seatSound({ name: 'north', sound: 34, level: 1, strings: 4 })];

async function start(ahead: number | null) {
  const receiver = await otherSide();
  open.push(receiver);
  const clock = liveClock();
  const { tell, notices } = listener();
  const engine = oscEngine({
    seats,
    host: '127.0.0.1',
    port: receiver.port,
    messages: PLAIN,
    ahead,
    clock,
    tell,
  });
  const next = async () => readWithBoth(await receiver.next())[0]!;
  const first = await next();
  const on = (voice: number): VoiceOn => ({
    type: 'on',
    t: clock.stamp(),
    voice,
    seat: 0,
    note: 45,
    velocity: 80,
    strength: 0.5,
    string: 2,
    fret: 0,
    how: 'pluck',
  });
  return { engine, next, on, notices, first };
}

describe('an OSC engine', () => {
  it('sends voices over UDP, and silence as it closes', async () => {
    const { engine, next, on, notices, first } = await start(null);
    // A program that was killed may have left notes on.
    expect(first).toMatchObject({ address: '/silence', args: [] });
    engine.send(on(1));
    engine.send(on(2));
    await engine.close();
    const read = [await next(), await next(), await next(), await next(), await next()];
    expect(read.map(({ address, args }) => [address, ...args])).toEqual([
      ['/note/on', 1, 45, 110, 0.5],
      ['/note/on', 2, 45, 110, 0.5],
      ['/note/off', 1],
      ['/note/off', 2],
      ['/silence'],
    ]);
    expect(notices).toEqual([]);
  });

  it('tags its bundles with the time of day and the lead', async () => {
    const { engine, next, on } = await start(500_000);
    const before = Date.now() / 1_000;
    engine.send(on(1));
    const { at } = await next();
    const after = Date.now() / 1_000;
    // Date counts whole milliseconds, and may be up to 5 ms from the clock that is held.
    expect(at! - 0.5).toBeGreaterThan(before - 0.006);
    expect(at! - 0.5).toBeLessThan(after + 0.006);
    await engine.close();
  });
});

describe('the time of day', () => {
  it('follows a clock that is set while the process runs, and not its small steps', () => {
    let [now, date] = [0, 1_000_000];
    const toUnix = wallClock({ now: () => now, date: () => date });
    expect(toUnix(250)).toBe(1_000_000_250);
    [now, date] = [10.7, 1_000_010];
    expect(toUnix(10_700)).toBe(1_000_010_700);
    date += 3_600_000;
    expect(toUnix(10_700)).toBe(4_600_010_000);
  });
});
