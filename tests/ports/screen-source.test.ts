import { Subject } from 'rxjs';
import { describe, expect, it } from 'vitest';
import { PLAIN } from '../../src/instrument/rules.js';
import { seatWay } from '../../src/pipeline.js';
import type { Notice } from '../../src/ports/contracts.js';
import { liveClock } from '../../src/ports/live-clock.js';
import { screenSource, type ScreenSource } from '../../src/ports/screen-source.js';
import type { NoteEvent } from '../../src/playing/note.js';
import type { Seated } from '../../src/time/alongside.js';
import { through } from '../../src/time/through.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { bassPlan } from '../support/bass.js';
import { lateTimers } from '../support/late-timers.js';

interface Open {
  readonly timers: ReturnType<typeof lateTimers>;
  readonly source: ScreenSource;
  readonly heard: Seated<WireEvent>[];
  readonly told: Notice[];
  readonly ended: () => boolean;
}

function open(late = 0): Open {
  const timers = lateTimers(() => 1, late, 0);
  const told: Notice[] = [];
  const heard: Seated<WireEvent>[] = [];
  const order = Array.from({ length: 20 }, (_, pad) => pad);
  const seat = { order, full: 16_383, built: 'carefully', wires: 'straight' } as const;
  const source = screenSource({
    seats: [
      { ...seat, seat: 1, name: 'north' },
      { ...seat, seat: 4, name: 'south' },
    ],
    clock: liveClock(timers),
    tell: (notice) => told.push(notice),
    timers,
  });
  let ended = false;
  source.events.subscribe({ next: (event) => heard.push(event), complete: () => (ended = true) });
  return { timers, source, heard, told, ended: () => ended };
}

const timesOf = (heard: readonly Seated<WireEvent>[], seat: number): number[] =>
  heard.filter((one) => one.seat === seat).map(({ t }) => t);

describe('the source of units on the page', () => {
  it('reports from its start, 250 times a second, and does not end by itself', () => {
    const { timers, heard, ended } = open(1.3);
    timers.run(60_000);
    expect(timesOf(heard, 1)).toHaveLength(15_000);
    expect(timesOf(heard, 4)).toHaveLength(15_000);
    const times = timesOf(heard, 1);
    const steps = times.slice(1).map((t, i) => t - times[i]!);
    expect(new Set(steps)).toEqual(new Set([4_000]));
    expect(ended()).toBe(false);
  });

  it('plays only the seat and pad that are pressed', () => {
    const { timers, source, heard } = open();
    timers.run(1_000);
    source.press(1, 16, 1);
    source.press(2, 16, 1);
    source.press(1, 99, 1);
    source.press(1, -1, 1);
    timers.run(1_100);
    source.release(1, 16);
    timers.run(1_300);
    const pad = (seat: number, t: number): number => {
      const one = heard.find((event) => event.seat === seat && event.t === t)!.event;
      return one.type === 'scan' ? one.raws[16]! : NaN;
    };
    expect(pad(1, 1_100_000) - pad(1, 1_000_000)).toBeGreaterThan(300);
    expect(Math.abs(pad(1, 1_200_000) - pad(1, 1_000_000))).toBeLessThan(20);
    expect(Math.abs(pad(4, 1_100_000) - pad(4, 1_000_000))).toBeLessThan(20);
  });

  it('pulled out, brings a lost reset and no readings, and goes on when it is plugged in', () => {
    const { timers, source, heard, told } = open();
    timers.run(1_000);
    source.press(1, 3, 1);
    timers.run(1_100);
    source.plug(1, false);
    source.plug(1, false);
    source.plug(7, false);
    const before = timesOf(heard, 1).length;
    expect(heard.at(-1)).toEqual({
      type: 'seated',
      t: 1_100_000,
      seat: 1,
      event: { type: 'reset', t: 1_100_000, why: 'lost' },
    });
    source.press(1, 3, 1);
    timers.run(2_000);
    expect(timesOf(heard, 1)).toHaveLength(before);
    expect(timesOf(heard, 4).at(-1)).toBe(2_000_000);
    source.plug(1, true);
    timers.run(2_100);
    expect(timesOf(heard, 1).length).toBeGreaterThanOrEqual(before + 24);
    // The finger that was on it has gone.
    const last = heard.filter(({ seat }) => seat === 1).at(-1)!.event;
    const first = heard.find(({ seat }) => seat === 1)!.event;
    if (last.type !== 'scan' || first.type !== 'scan') throw new Error('no readings came');
    expect(Math.abs(last.raws[3]! - first.raws[3]!)).toBeLessThan(20);
    expect(told.map(({ level, where }) => [level, where])).toEqual([
      ['warn', 'seat north'],
      ['info', 'seat north'],
    ]);
  });

  it('ends notes that are held when it is pulled out, and plays on afterwards', () => {
    const timers = lateTimers(() => 0, 0, 0);
    const clock = liveClock(timers);
    const order = Array.from({ length: 20 }, (_, pad) => pad);
    const source = screenSource({
      seats: [
        { seat: 0, name: 'north', full: 16_383, order, built: 'carefully', wires: 'straight' },
      ],
      clock,
      timers,
      tell: () => undefined,
    });
    const entry = new Subject<WireEvent>();
    const notes: NoteEvent['type'][] = [];
    entry.pipe(through(seatWay(bassPlan(PLAIN)), clock)).subscribe((event) => {
      if (event.type === 'on' || event.type === 'off') notes.push(event.type);
    });
    source.events.subscribe(({ event }) => {
      entry.next(event);
    });
    const pluck = (): void => {
      source.press(0, 0, 0.7);
      timers.run(timers.now() + 100);
      source.press(0, 16, 0.7);
      timers.run(timers.now() + 100);
    };
    timers.run(1_000);
    pluck();
    expect(notes).toEqual(['on']);
    source.plug(0, false);
    expect(notes).toEqual(['on', 'off']);
    timers.run(timers.now() + 1_000);
    source.plug(0, true);
    timers.run(timers.now() + 1_000);
    expect(notes).toEqual(['on', 'off']);
    pluck();
    expect(notes).toEqual(['on', 'off', 'on']);
  });

  it('does not make a computer that was busy for long catch up on it', () => {
    const { timers, heard } = open();
    timers.run(100);
    const before = timesOf(heard, 1).length;
    timers.jump(5_000);
    timers.run(5_150);
    const times = timesOf(heard, 1).slice(before);
    expect(times.length).toBeLessThan(20);
    expect([...times].sort((a, b) => a - b)).toEqual(times);
  });

  it('brings nothing more once it is closed', async () => {
    const { timers, source, heard, ended } = open();
    timers.run(100);
    await source.close();
    const before = heard.length;
    source.plug(1, false);
    timers.run(1_000);
    expect(heard).toHaveLength(before);
    expect(ended()).toBe(true);
  });
});
