import { describe, expect, it } from 'vitest';
import { liveClock, type Timers } from '../../src/ports/live-clock.js';

/** Timers in which time passes only by `pass`; they may be late, as Node's are. */
class HandTimers implements Timers {
  ms = 0;
  readonly waits: number[] = [];
  turns = 0;
  private readonly calls = new Map<object, { due: number; call: () => void }>();
  constructor(private readonly late = 0) {}

  now(): number {
    return this.ms;
  }
  after(ms: number, call: () => void): () => void {
    this.waits.push(ms);
    return this.add(this.ms + ms + this.late, call);
  }
  soon(call: () => void): () => void {
    this.turns++;
    return this.add(this.ms, call);
  }
  get idle(): boolean {
    return this.calls.size === 0;
  }
  /** Turns of the event loop, `step` ms apart, until `until` ms. */
  run(until: number, step = 0.01): void {
    while (this.ms < until) {
      this.ms = Math.min(until, this.ms + step);
      for (const [key, { due, call }] of [...this.calls]) {
        if (due > this.ms || !this.calls.delete(key)) continue;
        call();
      }
    }
  }
  private add(due: number, call: () => void): () => void {
    const key = {};
    this.calls.set(key, { due, call });
    return () => this.calls.delete(key);
  }
}

describe('live clock', () => {
  it('stamps in whole microseconds, rounded down so that no stamp is in the future', () => {
    const timers = new HandTimers();
    timers.ms = 1.2349;
    expect(liveClock(timers).stamp()).toBe(1234);
  });

  it('never falls, even if a board says that something happened earlier', () => {
    const timers = new HandTimers();
    const clock = liveClock(timers);
    timers.ms = 10;
    expect(clock.stamp(9_000)).toBe(9_000);
    expect(clock.stamp(8_000)).toBe(9_000);
    expect(clock.stamp(9_500)).toBe(9_500);
    expect(clock.stamp()).toBe(10_000);
    expect(clock.stamp(9_900)).toBe(10_000);
  });

  it('holds a board whose time runs ahead back to now', () => {
    const timers = new HandTimers();
    timers.ms = 10;
    expect(liveClock(timers).stamp(99_000_000)).toBe(10_000);
  });

  it('tells the time without holding later stamps back', () => {
    const timers = new HandTimers();
    const clock = liveClock(timers);
    timers.ms = 10;
    expect(clock.now()).toBe(10_000);
    expect(clock.stamp(9_000)).toBe(9_000);
  });

  it.each([0, 0.5, 1.2])('rings once, not early and soon after, with timers %s ms late', (late) => {
    const timers = new HandTimers(late);
    const clock = liveClock(timers);
    const rung: number[] = [];
    clock.alarm(25_000, () => rung.push(timers.ms));
    timers.run(24.99);
    expect(rung).toEqual([]);
    timers.run(60);
    expect(rung).toHaveLength(1);
    expect(rung[0]).toBeGreaterThanOrEqual(25);
    expect(rung[0]).toBeLessThan(25.05);
  });

  it('rings 1.2 ms late at most, and never turns to wait, where it is to be thrifty', () => {
    const timers = new HandTimers(0.15);
    const clock = liveClock(timers);
    const late: number[] = [];
    for (let at = 500; at < 300_000; at += 1_130) {
      clock.alarm(at, () => late.push(timers.ms - at / 1_000), 'thrifty');
    }
    timers.run(310);
    expect(late).toHaveLength(266);
    expect(Math.min(...late)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...late)).toBeLessThan(1.2);
    // The turn that each rings in.
    expect(timers.turns).toBe(266);
    expect(timers.idle).toBe(true);
  });

  it('looks at the time in every turn for the last 3 ms at most', () => {
    const timers = new HandTimers();
    liveClock(timers).alarm(1_000_000, () => undefined);
    timers.run(1_010, 0.1);
    expect(timers.waits[0]).toBeGreaterThan(990);
    expect(timers.turns).toBeGreaterThan(0);
    expect(timers.turns).toBeLessThanOrEqual(31);
    expect(timers.idle).toBe(true);
  });

  it('rings later than inside the call for a time that is past', () => {
    const timers = new HandTimers();
    const clock = liveClock(timers);
    timers.ms = 10;
    let rung = 0;
    clock.alarm(5_000, () => rung++);
    expect(rung).toBe(0);
    timers.run(10.1);
    expect(rung).toBe(1);
  });

  it('gives no stamp earlier than an alarm that has rung', () => {
    const timers = new HandTimers();
    const clock = liveClock(timers);
    clock.alarm(5_000, () => undefined);
    timers.run(6);
    expect(clock.stamp(4_000)).toBe(5_000);
  });

  it.each([1, 4.5, 9.5])('can be taken back, %s ms after it was asked for', (when) => {
    const timers = new HandTimers();
    const cancel = liveClock(timers).alarm(10_000, () => {
      throw new Error('rang though it was taken back');
    });
    timers.run(when);
    cancel();
    timers.run(20);
    expect(timers.idle).toBe(true);
  });

  it('keeps times of weeks in pieces that Node can wait', () => {
    const timers = new HandTimers();
    const weeks = 40 * 24 * 3_600_000;
    let rung = 0;
    liveClock(timers).alarm(weeks * 1_000, () => rung++);
    expect(timers.waits).toEqual([2 ** 31 - 1]);
    timers.run(weeks - 1, 3_600_000);
    expect(rung).toBe(0);
    timers.run(weeks + 10, 0.5);
    expect(rung).toBe(1);
  });

  it('waits for nothing where no wake-up is wanted', () => {
    const timers = new HandTimers();
    liveClock(timers).alarm(Infinity, () => undefined);
    expect(timers.idle).toBe(true);
  });
});

describe('live clock on Node', () => {
  it('rings each, not early, and stamps as performance.now() counts', async () => {
    const clock = liveClock();
    const rung: [at: number, when: number][] = [];
    const begun = clock.stamp();
    expect(Math.abs(begun - performance.now() * 1_000)).toBeLessThan(50_000);
    await new Promise<void>((resolve) => {
      for (const ms of [7, 3, 5, 0, 1]) {
        const at = begun + ms * 1_000;
        clock.alarm(at, () => {
          rung.push([at, Math.floor(performance.now() * 1_000)]);
          if (rung.length === 5) resolve();
        });
      }
      // The clock's own timers do not keep Node running; this one does, and fails the test if late.
      setTimeout(resolve, 5_000);
    });
    const offsets = rung.map(([at]) => (at - begun) / 1_000);
    expect(offsets.sort((a, b) => a - b)).toEqual([0, 1, 3, 5, 7]);
    for (const [at, when] of rung) expect(when).toBeGreaterThanOrEqual(at);
  });
});
