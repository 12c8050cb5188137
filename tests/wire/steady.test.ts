import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MILLISECOND, NEVER, SECOND, type Micros } from '../../src/time/micros.js';
import {
  life,
  LONGEST,
  SENSED,
  SHORTEST,
  type Heard,
  type LifeChange,
  type Sign,
  type Steadiness,
} from '../../src/wire/steady.js';
import { runStage } from '../support/run-stage.js';

const ms = (value: number): Micros => value * MILLISECOND;

function* scans(from: number, to: number, every: number): Generator<Heard> {
  for (let t = from; t < to; t += every) yield { type: 'heard', t: ms(t) };
}

function* all<T>(...lists: readonly Iterable<T>[]): Generator<T> {
  for (const list of lists) yield* list;
}

/** What is told, as `quiet 3240`, in milliseconds. */
function told(events: Iterable<Heard | Sign>, how: Steadiness = 'auto', until = 120_000): string[] {
  return runStage<Heard | Sign, LifeChange>(life(how), events, ms(until)).map(
    ({ type, t }) => `${type} ${String(Math.round(t / MILLISECOND))}`,
  );
}

describe('a wire with a steady pace that stops', () => {
  it('is quiet after 250 ms where three times its largest gap is less', () => {
    expect(told(scans(0, 5_000, 4))).toEqual(['quiet 5246']);
    expect(told(scans(0, 5_000, 40))).toEqual(['quiet 5210']);
  });

  it('is quiet after three times the largest gap of the last 30 s', () => {
    expect(told(scans(0, 5_000, 200))).toEqual(['quiet 5400']);
    // One gap of 240 ms, 20 s before the end: it still counts.
    expect(told(all(scans(0, 5_000, 10), scans(5_230, 25_000, 10)))).toEqual(['quiet 25710']);
    // And 31 s before the end it does not.
    expect(told(all(scans(0, 5_000, 10), scans(5_230, 36_500, 10)))).toEqual(['quiet 36740']);
  });

  it('learns from a gap that it took for a stop', () => {
    const events = all(scans(0, 5_000, 10), scans(5_390, 9_000, 10), scans(9_390, 12_000, 10));
    expect(told(events)).toEqual(['quiet 5240', 'back 5390', 'quiet 13190']);
  });

  it('is quiet after 2 s at the latest', () => {
    expect(told(scans(0, 10_000, 900))).toEqual(['quiet 11900']);
  });

  it('is told once, and again only after it was back', () => {
    const events = all(scans(0, 5_000, 10), scans(9_000, 19_000, 10));
    expect(told(events)).toEqual(['quiet 5240', 'back 9000', 'quiet 19240']);
  });

  it('is not quiet while scans come, however long they do', () => {
    expect(told(scans(0, 100_000, 33), 'auto', 100_000)).toEqual([]);
  });
});

describe('a wire that may stop without meaning anything', () => {
  it('is not quiet where it has sent for less than a second', () => {
    expect(told(scans(0, 900, 4))).toEqual([]);
  });

  it('is not quiet where it pauses for longer than two seconds now and then', () => {
    const events = [0, 1, 2, 3, 4].flatMap((n) => [...scans(3_000 * n, 3_000 * n + 400, 5)]);
    expect(told(events)).toEqual([]);
  });

  it('that looked steady for a while is seldom taken for steady again', () => {
    // Touches of a board that only sends changes: two seconds without a pause, then a pause of five.
    const touches = Array.from({ length: 20 }, (_, n) => [
      ...scans(7_000 * n, 7_000 * n + 2_000, 50),
    ]);
    const quiet = told(touches.flat(), 'auto', 160_000).filter((line) => line.startsWith('quiet'));
    expect(quiet.length).toBeLessThanOrEqual(2);
  });

  it('is not quiet where a person says so', () => {
    expect(told(scans(0, 5_000, 4), 'never')).toEqual([]);
  });
});

describe('a wire that a person calls steady', () => {
  it('is quiet again each time', () => {
    const touches = Array.from({ length: 6 }, (_, n) => [
      ...scans(7_000 * n, 7_000 * n + 2_000, 50),
    ]);
    const quiet = told(touches.flat(), 'always').filter((line) => line.startsWith('quiet'));
    expect(quiet).toHaveLength(6);
  });

  it('is quiet after the time that was given, from the first reading on', () => {
    expect(told(scans(0, 10, 20), ms(700))).toEqual(['quiet 700']);
    expect(told(scans(0, 20_000, 5_000), ms(700)).slice(0, 3)).toEqual([
      'quiet 700',
      'back 5000',
      'quiet 5700',
    ]);
  });
});

describe('Active Sensing', () => {
  const sign = (t: number, sensing = true): Sign => ({ type: 'sign', t: ms(t), sensing });

  it('that stops shows that the sender is gone', () => {
    // MIDI 1.0 Detailed Specification 4.2.1, p. 32: at most 300 ms between two messages.
    const [line] = told(
      [0, 300, 600, 900].map((t) => sign(t)),
      'never',
    );
    const at = Number(line?.split(' ')[1]);
    expect(at).toBeGreaterThan(900 + 300);
    expect(at).toBeLessThan(900 + 400);
  });

  it('may be left out while other messages come', () => {
    const others = Array.from({ length: 20 }, (_, n) => sign(100 + 300 * n, false));
    expect(told([sign(0), ...others], 'never', 6_000)).toEqual([]);
  });

  it('that never came is not missed', () => {
    expect(told([sign(0, false), sign(100, false)], 'never')).toEqual([]);
  });

  it('counts from its return on', () => {
    const lines = told([sign(0), sign(5_000), sign(5_300)], 'never');
    expect(lines).toEqual(['quiet 330', 'back 5000', 'quiet 5630']);
  });
});

describe('any wire', () => {
  const gaps = fc.array(
    fc.oneof(
      { weight: 30, arbitrary: fc.integer({ min: 1, max: 40 }) },
      { weight: 1, arbitrary: fc.integer({ min: 41, max: 8_000 }) },
    ),
    { maxLength: 400 },
  );

  it('is quiet and back in turn, never sooner than 250 ms nor later than 2 s after its last scan', () => {
    fc.assert(
      fc.property(gaps, (steps) => {
        let t = 0;
        const events = steps.map((step): Heard => ({ type: 'heard', t: ms((t += step)) }));
        const out = runStage<Heard | Sign, LifeChange>(life('auto'), events, ms(t + 10_000));
        const times = events.map((event) => event.t);
        out.forEach((change, i) => {
          expect(change.type).toBe(i % 2 === 0 ? 'quiet' : 'back');
          if (change.type === 'back') expect(times).toContain(change.t);
          else {
            const last = Math.max(...times.filter((time) => time <= change.t));
            expect(change.t - last).toBeGreaterThanOrEqual(SHORTEST);
            expect(change.t - last).toBeLessThanOrEqual(LONGEST);
          }
        });
      }),
    );
  });

  it('asks to be woken a few times a second at most, and not at all once it is quiet', () => {
    const stage = life('auto');
    let state = stage.begin();
    let wake = NEVER;
    let wakes = 0;
    for (let t = 0; t < 10 * SECOND; t += 4 * MILLISECOND) {
      while (wake <= t) {
        wakes += 1;
        ({ state, wake } = stage.step(state, { type: 'wake', t: wake }));
      }
      ({ state, wake } = stage.step(state, { type: 'heard', t }));
    }
    expect(wakes).toBeLessThanOrEqual(41);
    const last = stage.step(state, { type: 'wake', t: wake + LONGEST });
    expect([last.out.length, last.wake]).toEqual([1, NEVER]);
    expect(SENSED).toBeGreaterThan(ms(300));
  });
});
