import { Subject } from 'rxjs';
import { afterEach, describe, expect, it } from 'vitest';
import { seatWay, way } from '../../src/pipeline.js';
import type { SeatEvent } from '../../src/playing/note.js';
import type { Engine, Notice } from '../../src/ports/contracts.js';
import { startService, type Service, type ServiceParts } from '../../src/ports/service.js';
import type { Change } from '../../src/room/change.js';
import { plainRoom, type RoomPlan } from '../../src/room/plan.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { sharing } from '../../src/room/room.js';
import { alongside, type Seated } from '../../src/time/alongside.js';
import { chain } from '../../src/time/chain.js';
import { virtualClock } from '../../src/time/clock.js';
import type { Timed } from '../../src/time/events.js';
import type { AnyStage } from '../../src/time/stage.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { bassPlan } from '../support/bass.js';

const REST = 1_000;
const SPAN = 600;
const pads = Array.from({ length: 20 }, (_, pad) => pad);
const plan = {
  ...bassPlan(),
  pads: {
    ...bassPlan().pads,
    build: {
      wiring: pads,
      pads: pads.map(() => ({ rest: REST, span: SPAN, noise: 4, coupling: [] })),
    },
  },
};

const running: Service[] = [];
afterEach(async () => {
  for (const service of running.splice(0)) await service.stop();
});

/** A room of two basses that are touched by hand, and an engine that keeps what it is told. */
function room(own: Partial<ServiceParts> = {}) {
  const events = new Subject<Seated<WireEvent>>();
  const told: VoiceEvent[] = [];
  const notices: Notice[] = [];
  const readings: (Seated<WireEvent> | Change)[] = [];
  const clock = virtualClock();
  const engine: Engine = {
    name: 'kept',
    send: (event) => told.push(event),
    close: () => Promise.resolve(),
  };
  const service = startService({
    seats: [
      { name: 'north', plan },
      { name: 'south', plan },
    ],
    room: plainRoom(2),
    sources: [{ events, close: () => Promise.resolve() }],
    engines: [engine],
    clock,
    tell: (notice) => notices.push(notice),
    onReading: (event) => readings.push(event),
    onChange: (change) => readings.push(change),
    ...own,
  });
  running.push(service);
  let t = 0;
  const send = (seat: number, raws: readonly number[], inputs: readonly number[] = pads): void => {
    t = clock.stamp(t + 8_000);
    events.next({ type: 'seated', t, seat, event: { type: 'scan', t, inputs, raws } });
  };
  /** Touches the pluck pad of a string and holds it until the note has begun. */
  const pluck = (seat: number, pad = 19): void => {
    send(
      seat,
      pads.map(() => REST),
    );
    for (let n = 0; n < 4; n++) send(seat, [REST + SPAN], [pad]);
    send(
      seat,
      pads.map(() => REST),
    );
    for (let n = 0; n < 12; n++)
      send(
        seat,
        pads.map(() => REST),
      );
  };
  return { service, events, told, notices, readings, pluck, clock, engine };
}

const types = (told: readonly VoiceEvent[]): string[] => told.map(({ type }) => type);

describe('a change', () => {
  it('goes into the way in its place, and is shown as it goes', () => {
    const { service, told, readings, pluck } = room();
    pluck(0);
    service.change({ type: 'seat-change', seat: 0, level: 0.5 });
    service.change({ type: 'room-change', scale: [0] });
    pluck(0);
    // E1, 28, goes to the nearest C, which is 24.
    expect(told.map((one) => ('note' in one ? [one.type, one.note] : [one.type]))).toEqual([
      ...[['on', 28], ['mix'], ['off', 28], ['on', 24]],
    ]);
    const at = readings.findIndex(({ type }) => type === 'seat-change');
    expect(readings[at]).toMatchObject({ seat: 0, level: 0.5, t: readings[at - 1]!.t });
    expect(readings.slice(at + 2).length).toBeGreaterThan(5);
  });

  it('outlives a failure of the way: the new one begins with the room as it is by then', () => {
    let broken = false;
    const rooms: RoomPlan[] = [];
    const { service, told, pluck, notices } = room({
      makeWay: failing(
        () => broken,
        (plan) => rooms.push(plan),
      ),
    });
    service.change({ type: 'seat-change', seat: 1, level: 0.25, mute: true });
    told.length = 0;
    broken = true;
    pluck(0);
    expect(rooms[1]!.mixes[1]).toMatchObject({ level: 0.25, mute: true });
    expect(types(told).slice(0, 3)).toEqual(['silence', 'mix', 'mix']);
    expect(told[2]).toMatchObject({ type: 'mix', seat: 1, level: 0.25 });
    expect(notices[0]!.what).toContain('the playing logic failed: broken');
    broken = false;
  });
});

describe('silence', () => {
  it('ends what sounds, is said once for all seats, and the room plays on', () => {
    const { service, told, pluck } = room();
    pluck(0);
    pluck(1);
    told.length = 0;
    service.silence();
    expect(types(told)).toEqual(['off', 'off', 'silence']);
    pluck(0);
    expect(types(told).slice(3)).toEqual(['on']);
  });

  it('is told where nothing is known to sound', () => {
    const { service, told } = room();
    service.silence();
    service.silence();
    expect(types(told)).toEqual(['silence', 'silence']);
  });

  it('is told while the whole way throws, whatever is done, and what sounds is ended first', () => {
    let broken = false;
    const { service, told, pluck } = room({ makeWay: failing(() => broken) });
    pluck(0);
    broken = true;
    told.length = 0;
    service.silence();
    const ends = types(told).filter((type) => type === 'off' || type === 'silence');
    expect(ends.slice(0, 2)).toEqual(['off', 'silence']);
    told.length = 0;
    service.silence();
    expect(types(told)).toContain('silence');
    expect(types(told)).not.toContain('off');
    broken = false;
  });

  it('is told while the stages of one seat throw, and of each seat', () => {
    for (const seats of [[0], [0, 1]]) {
      let broken = false;
      const { service, told, pluck } = room({
        makeWay: failingSeats(seats, () => broken),
      });
      pluck(0);
      pluck(1);
      broken = true;
      told.length = 0;
      service.silence();
      expect(types(told).sort()).toEqual(['off', 'off', 'silence']);
      told.length = 0;
      service.silence();
      expect(types(told)).toEqual(['silence']);
      broken = false;
    }
  });

  it('reaches every engine though one of them throws', () => {
    const told: VoiceEvent[] = [];
    const bad: Engine = { name: 'bad', send: fail, close: () => Promise.resolve() };
    const good: Engine = {
      name: 'good',
      send: (e) => told.push(e),
      close: () => Promise.resolve(),
    };
    const { service } = room({ engines: [bad, good] });
    service.silence();
    expect(types(told)).toEqual(['silence']);
  });

  it('wakes nobody up again after the service has stopped', async () => {
    const { service, told } = room();
    await service.stop();
    told.length = 0;
    service.silence();
    expect(told).toEqual([]);
  });
});

function fail(): never {
  throw new Error('broken');
}

/** A way that throws while it is broken. */
function failing(broken: () => boolean, seen?: (room: RoomPlan) => void): typeof way {
  return (seats, plan, onFault) => {
    seen?.(plan);
    return throwing(way(seats, plan, onFault), broken);
  };
}

/** A way in which the stages of some seats throw while it is broken. */
function failingSeats(which: readonly number[], broken: () => boolean): typeof way {
  return (seats, plan, onFault) => {
    const stages = seats.map((seat, i) =>
      which.includes(i) ? throwing(seatWay(seat!), broken) : seatWay(seat!),
    );
    const sharers = seats.map((seat) => ({ voices: seat!.rules.voices, drums: false }));
    return chain(
      'way',
      alongside<WireEvent, SeatEvent, Change>('seats', stages, onFault),
      sharing(sharers, plan),
    );
  };
}

function throwing<E extends Timed, O>(
  stage: AnyStage<E, O>,
  broken: () => boolean,
): AnyStage<E, O> {
  return {
    ...stage,
    step: (state, event) => (broken() ? fail() : stage.step(state, event)),
  };
}
