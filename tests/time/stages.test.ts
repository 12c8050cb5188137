import { describe, expect, it } from 'vitest';
import { Subject } from 'rxjs';
import { alongside, type Seated } from '../../src/time/alongside.js';
import { chain } from '../../src/time/chain.js';
import { virtualClock, type Clock } from '../../src/time/clock.js';
import type { Timed } from '../../src/time/events.js';
import { NEVER } from '../../src/time/micros.js';
import { StageFault, type Stage } from '../../src/time/stage.js';
import { through } from '../../src/time/through.js';
import { runStage } from '../support/run-stage.js';

interface Said extends Timed {
  readonly type: 'said';
  readonly what: string;
}
const said = (t: number, what: string): Said => ({ type: 'said', t, what });

/** Passes on what it hears and says "late NAME" `delay` after the first thing it heard. */
function echo(name: string, delay: number): Stage<{ wake: number }, Said, Said> {
  return {
    name,
    begin: () => ({ wake: NEVER }),
    step(state, event) {
      if (event.type === 'wake') {
        return { state: { wake: NEVER }, out: [said(event.t, `late ${name}`)], wake: NEVER };
      }
      const wake = state.wake === NEVER ? event.t + delay : state.wake;
      return { state: { wake }, out: [event], wake };
    },
  };
}

describe('chain', () => {
  it('handles every wake-up due at or before an event first, in the order of time', () => {
    const both = chain('both', echo('upper', 5), echo('lower', 3));
    const heard = runStage(both, [said(0, 'a'), said(5, 'b')], 20);
    expect(heard.map(({ t, what }) => [t, what])).toEqual([
      [0, 'a'],
      [3, 'late lower'],
      [5, 'late upper'],
      [5, 'b'],
      [8, 'late lower'],
      [10, 'late upper'],
      [13, 'late lower'],
    ]);
  });

  it('lets the lower of two wake-ups at one time go first', () => {
    const both = chain('both', echo('upper', 3), echo('lower', 3));
    const heard = runStage(both, [said(0, 'a')], 3);
    expect(heard.map(({ what }) => what)).toEqual(['a', 'late lower', 'late upper']);
  });

  it('refuses a wake-up that is not later than its event', () => {
    const stuck = chain('stuck', echo('upper', 0), echo('lower', 1));
    expect(() => runStage(stuck, [said(0, 'a')])).toThrow(StageFault);
  });
});

describe('alongside', () => {
  const at = (seat: number, t: number, what: string): Seated<Said> => ({
    type: 'seated',
    t,
    seat,
    event: said(t, what),
  });

  it('ends only the seat whose stage throws, and tells', () => {
    const faults: unknown[] = [];
    const touchy: Stage<number, Said, Said> = {
      name: 'touchy',
      begin: () => 0,
      step(state, event) {
        if (event.type === 'said' && event.what === 'bad') throw new Error('touched');
        return { state: state + 1, out: [said(event.t, String(state))], wake: NEVER };
      },
    };
    const both = alongside('both', [touchy, touchy], (seat, t, error) =>
      faults.push([seat, t, (error as Error).message]),
    );
    const out = runStage(both, [
      at(0, 1, 'a'),
      at(1, 2, 'a'),
      at(0, 3, 'bad'),
      at(0, 4, 'a'),
      at(1, 5, 'a'),
    ]);
    expect(
      out.map(({ seat, event }) => [seat, event.type === 'said' ? event.what : event.why]),
    ).toEqual([
      [0, '0'],
      [1, '0'],
      [0, 'fault'],
      [0, '0'],
      [1, '1'],
    ]);
    expect(faults).toEqual([[0, 3, 'touched']]);
  });

  it('wakes the seats in the order of time', () => {
    const both = alongside('both', [echo('slow', 9), echo('quick', 2)], () => undefined);
    const out = runStage(both, [at(0, 0, 'a'), at(1, 1, 'b'), at(1, 9, 'c')], 20);
    expect(out.map(({ t, seat }) => [t, seat])).toEqual([
      [0, 0],
      [1, 1],
      [3, 1],
      [9, 0],
      [9, 1],
      [11, 1],
    ]);
  });
});

/** A clock whose alarms the test rings. */
function handClock(): Clock & { ring(upTo: number): void; pending(): number } {
  const alarms = new Set<{ at: number; ring: () => void }>();
  return {
    ...virtualClock(),
    alarm(at, ring) {
      const alarm = { at, ring };
      alarms.add(alarm);
      return () => alarms.delete(alarm);
    },
    ring(upTo) {
      for (const alarm of [...alarms]) {
        if (alarm.at > upTo) continue;
        alarms.delete(alarm);
        alarm.ring();
      }
    },
    pending: () => alarms.size,
  };
}

describe('through', () => {
  it('puts out the same whether alarms ring in time or late', () => {
    const play = (late: boolean): [number, string][] => {
      const clock = handClock();
      const source = new Subject<Said>();
      const heard: [number, string][] = [];
      source.pipe(through(echo('x', 3), clock)).subscribe(({ t, what }) => heard.push([t, what]));
      source.next(said(0, 'a'));
      if (!late) clock.ring(3);
      source.next(said(4, 'b'));
      source.next(said(5, 'c'));
      clock.ring(100);
      return heard;
    };
    expect(play(true)).toEqual(play(false));
    expect(play(false)).toEqual([
      [0, 'a'],
      [3, 'late x'],
      [4, 'b'],
      [5, 'c'],
      [7, 'late x'],
    ]);
  });

  it('leaves no alarm behind when the source completes, fails or is left', () => {
    for (const end of ['complete', 'error', 'leave'] as const) {
      const clock = handClock();
      const source = new Subject<Said>();
      const listening = source
        .pipe(through(echo('x', 3), clock))
        .subscribe({ error: () => undefined });
      source.next(said(0, 'a'));
      expect(clock.pending()).toBe(1);
      if (end === 'complete') source.complete();
      else if (end === 'error') source.error(new Error('gone'));
      else listening.unsubscribe();
      expect(clock.pending()).toBe(0);
    }
  });

  it('makes an error of the stage an error of the stream', () => {
    const source = new Subject<Said>();
    let caught: unknown;
    source
      .pipe(through(echo('x', -1), virtualClock()))
      .subscribe({ error: (error: unknown) => (caught = error) });
    source.next(said(0, 'a'));
    expect(caught).toBeInstanceOf(StageFault);
  });
});

describe('virtualClock', () => {
  it('never lets a stamp fall', () => {
    const clock = virtualClock();
    expect([clock.stamp(5), clock.stamp(3), clock.stamp(), clock.stamp(9)]).toEqual([5, 5, 5, 9]);
  });
});
