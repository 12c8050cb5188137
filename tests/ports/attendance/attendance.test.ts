import { Subject } from 'rxjs';
import { describe, expect, it } from 'vitest';
import { attendance } from '../../../src/ports/attendance/attendance.js';
import type { AttendedSeat } from '../../../src/ports/attendance/attended-seat.js';
import { liveClock } from '../../../src/ports/live-clock.js';
import type { Seated } from '../../../src/time/alongside.js';
import type { WireEvent } from '../../../src/wire/scan.js';
import { BASS } from '../../support/bass.js';
import { lateTimers } from '../../support/late-timers.js';
import { listener } from '../midi/fake.js';

const pads = { pads: 20, build: null, full: 16_383, decided: false };

function seat(over: Partial<AttendedSeat> = {}): AttendedSeat {
  return {
    seat: 0,
    name: 'north',
    steady: 'auto',
    listens: null,
    patience: 0,
    instrument: BASS,
    pads,
    played: false,
    calibrated: false,
    ...over,
  };
}

/** A source whose seats are attended, in a time that only the test moves. */
function attended(seats: readonly AttendedSeat[] = [seat()]) {
  const timers = lateTimers(() => 0, 0);
  const clock = liveClock(timers);
  const { told, tell } = listener();
  /** Milliseconds by which the clocks that go on in sleep are ahead, and the date besides. */
  const ahead = { slept: 0, set: 0, used: 0 };
  const clocks = {
    date: () => timers.now() + ahead.slept + ahead.set,
    uptime: () => (timers.now() + ahead.slept) / 1_000,
    used: () => ahead.used,
  };
  const attending = attendance({ clock, tell, timers, clocks });
  const own = new Subject<Seated<WireEvent>>();
  const events: Seated<WireEvent>[] = [];
  const source = attending.attend({ events: own, close: () => Promise.resolve() }, seats);
  const subscription = source.events.subscribe((event) => events.push(event));
  const send = (raw = 1_000, of = 0): void => {
    const t = clock.stamp();
    own.next({ type: 'seated', t, seat: of, event: { type: 'scan', t, inputs: [3], raws: [raw] } });
  };
  /** Sends a scan every 10 ms for so long. */
  const play = (ms: number, of = 0): void => {
    for (const end = timers.now() + ms; timers.now() < end;) {
      send(1_000, of);
      timers.run(timers.now() + 10);
    }
  };
  const resets = (): string[] =>
    events.flatMap(({ seat: n, event }) =>
      event.type === 'reset' ? [`${String(n)} ${event.why}`] : [],
    );
  const run = (ms: number): void => {
    timers.run(timers.now() + ms);
  };
  return {
    attending,
    timers,
    clock,
    told,
    events,
    send,
    play,
    resets,
    run,
    ahead,
    subscription,
    own,
  };
}

describe('a seat whose board stops sending', () => {
  it('gets one reset, is told once with when it is back, and counts as silent in between', () => {
    const { attending, play, run, resets, told, send } = attended();
    play(3_000);
    expect([attending.isSteady(0), attending.isSilent(0)]).toEqual([true, false]);
    run(1_000);
    expect(resets()).toEqual(['0 quiet']);
    expect(attending.isSilent(0)).toBe(true);
    run(60_000);
    send();
    run(100);
    expect(resets()).toEqual(['0 quiet']);
    expect(attending.isSilent(0)).toBe(false);
    expect(told.map(({ level, where }) => `${level} ${where ?? ''}`)).toEqual([
      'warn seat north',
      'info seat north',
    ]);
  });

  it('and whose port has gone is told of by the port alone', () => {
    const { play, run, resets, told, own, clock } = attended([seat({ patience: 1_200_000 })]);
    play(3_000);
    run(800);
    const t = clock.stamp();
    own.next({ type: 'seated', t, seat: 0, event: { type: 'reset', t, why: 'lost' } });
    run(60_000);
    expect(resets()).toEqual(['0 quiet', '0 lost']);
    expect(told).toEqual([]);
  });

  it('again and again is told at most every ten seconds, and still when it stays silent', () => {
    const { play, run, resets, told } = attended([seat({ steady: 'always' })]);
    for (let i = 0; i < 3; i++) {
      play(1_500);
      run(2_100);
    }
    expect(resets()).toHaveLength(3);
    expect(told.filter(({ level }) => level === 'warn')).toHaveLength(1);
    run(20_000);
    expect(told.filter(({ level }) => level === 'warn')).toHaveLength(2);
  });

  it('is told in one message with all others that stopped with it', () => {
    const names = ['north', 'south', 'west'];
    const { own, clock, timers, run, told } = attended(
      names.map((name, i) => seat({ seat: i, name })),
    );
    for (let i = 0; i < 300; i++) {
      for (const n of names.keys()) {
        const t = clock.stamp();
        const event = { type: 'scan', t, inputs: [0], raws: [1] } as const;
        own.next({ type: 'seated', t, seat: n, event });
      }
      timers.run(timers.now() + 10);
    }
    run(5_000);
    expect(told.map(({ where }) => where)).toEqual(['seats north, south, west']);
    // The last one that is back settles what was told of all of them, under the same name.
    for (const n of [2, 0, 1]) {
      const t = clock.stamp();
      own.next({ type: 'seated', t, seat: n, event: { type: 'scan', t, inputs: [0], raws: [1] } });
      timers.run(timers.now() + 100);
    }
    expect(told.slice(1).map(({ level, where }) => `${level} ${where ?? ''}`)).toEqual([
      'info seat west',
      'info seat north',
      'info seats north, south, west',
    ]);
  });

  it('is not taken for silent while this program was held up', () => {
    const { play, timers, run, resets, send } = attended();
    play(3_000);
    timers.jump(1_500);
    // What came meanwhile is read in the turn after the timers.
    run(1);
    send();
    play(2_000);
    expect(resets()).toEqual([]);
  });
});

describe('a program that was away for more than two seconds', () => {
  it('resets every seat once, and takes in what had piled up without playing it', () => {
    const { play, timers, run, resets, told, send, events } = attended();
    play(3_000);
    const before = events.length;
    timers.jump(5_000);
    for (const raw of [1_100, 1_900, 1_050]) send(raw);
    run(100);
    play(1_000);
    expect(resets()).toEqual(['0 overflow']);
    const [reset, first] = events.slice(before);
    expect(reset!.event.type).toBe('reset');
    expect(first!.event).toMatchObject({ type: 'scan', inputs: [3], raws: [1_050] });
    expect(told).toHaveLength(1);
    expect(told[0]!.what).toBe(
      'This computer slept or was too busy, or pluckwork was stopped, for 5 s; all notes were ended',
    );
    const times = events.map(({ t }) => t);
    expect(times).toEqual([...times].sort((a, b) => a - b));
  });

  it('knows it from the other clocks where its own stood still', () => {
    const { play, ahead, resets, told } = attended();
    play(3_000);
    ahead.slept = 3_600_000;
    play(1_000);
    expect(resets()).toEqual(['0 overflow']);
    expect(told.map(({ what }) => what)).toEqual([
      'This computer slept or was too busy, or pluckwork was stopped, for 3600 s; all notes were ended',
    ]);
  });

  it('is not where it was busy itself for so long', () => {
    const { play, timers, run, resets, told, send, ahead } = attended();
    play(3_000);
    timers.jump(5_000);
    ahead.used = 4_000_000;
    run(1);
    send();
    play(1_000);
    expect([resets(), told]).toEqual([[], []]);
  });

  it('is not where only the date was set', () => {
    const { play, ahead, resets, told } = attended();
    play(1_000);
    ahead.set = 7_200_000;
    play(1_000);
    ahead.set = -7_200_000;
    play(1_000);
    expect([resets(), told]).toEqual([[], []]);
  });
});

describe('a seat that is listened to no more', () => {
  it('is not attended either', () => {
    const { play, run, resets, told, subscription, attending } = attended();
    play(3_000);
    subscription.unsubscribe();
    run(10_000);
    expect([resets(), told, attending.isSteady(0)]).toEqual([[], [], false]);
  });
});

describe('Active Sensing', () => {
  it('that stops ends notes of a wire that tells only changes, and shows that it is back', () => {
    const { attending, run, resets, events, told } = attended([seat({ steady: 'never' })]);
    for (let i = 0; i < 20; i++) {
      attending.sign(0, true);
      run(250);
    }
    expect(resets()).toEqual([]);
    run(200);
    expect(resets()).toEqual(['0 quiet']);
    run(5_000);
    attending.sign(0, true);
    // Nothing else would show pages that it is back.
    expect(events.at(-1)!.event).toMatchObject({ type: 'scan', inputs: [] });
    run(50);
    expect(told.map(({ level }) => level)).toEqual(['warn', 'info']);
  });
});
