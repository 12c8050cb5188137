import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { LATE } from '../../../src/page/host/serving.js';
import { PULSE_MS } from '../../../src/page/host/pulse.js';
import { RowsReader, SeatLook } from '../../../src/page/link/memory-read.js';
import { planSeat, type PlannedSeat } from '../../../src/ports/connect.js';
import type { Engine } from '../../../src/ports/contracts.js';
import type { ReadySeat } from '../../../src/ports/files/room.js';
import type { SeatMix } from '../../../src/room/plan.js';
import type { VoiceEvent, VoiceOn } from '../../../src/room/voice.js';
import { shipped } from '../../support/kinds.js';
import { PADS, pageRoom, REST, SPAN, type PageRoomHands } from './room.js';

const pads = PADS.map(() => ({ rest: REST, span: SPAN, noise: 4, coupling: [] }));
const MIX: SeatMix = {
  level: 0.5,
  pan: 0,
  mute: false,
  solo: false,
  lead: false,
  sound: 34,
};

let folder: string;
let room: PageRoomHands;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'seating-'));
  for (const own of ['rooms', 'builds']) mkdirSync(join(folder, own));
  writeFileSync(join(folder, 'builds/north.json'), JSON.stringify({ wiring: PADS, pads }));
  writeFileSync(
    join(folder, 'rooms/class.yaml'),
    `seats:
  - { name: north, instrument: bass-4x4, build: north, from: { player: demo } }
  - { name: south, instrument: bass-4x4, build: north, from: { player: screen } }
`,
  );
  room = await pageRoom('class', folder);
});
afterEach(async () => {
  await room.close();
  rmSync(folder, { recursive: true, force: true });
});

/** A seat that was not there as the room began. */
function planned(name: string, instrument = 'bass-4x4', of = 1): PlannedSeat {
  const like = room.live.whole.seats[of]!;
  const own: ReadySeat = {
    ...like,
    seat: { ...like.seat, name },
    instrument: shipped(instrument),
    build: instrument === 'bass-4x4' ? like.build : null,
  };
  return planSeat(own);
}

const heard = <Type extends string>(type: Type) =>
  room
    .thread()
    .heard.filter((one): one is Extract<typeof one, { type: Type }> => one.type === type);

const on = (seat: number): VoiceOn => ({
  type: 'on',
  t: 1,
  voice: 1,
  seat,
  note: 40,
  velocity: 90,
  strength: 1,
  string: 2,
  fret: 1,
  how: 'pluck',
});

describe('a seat that joins', () => {
  it('is told with memory of its own, and pages have it in the order of the room file', () => {
    room.host.join(2, planned('east', 'keys-13'), 'the window', MIX);
    room.host.order([2, 0, 1]);
    const [told] = heard('seat');
    expect(told?.seat).toMatchObject({ id: 2, slot: 2, name: 'east' });
    expect(told?.seat.memory.slice).toMatchObject({ pads: 13, strings: 13 });
    const seats = room.state('seats');
    expect(seats.map(({ name }) => name)).toEqual(['east', 'north', 'south']);
    expect(seats[0]).toMatchObject({
      id: 2,
      slot: 2,
      slice: told!.seat.memory.slice.slice,
      from: 'the window',
      plugged: 'waiting',
      mix: MIX,
      screen: true,
    });
    room.host.voice(on(2));
    expect(new SeatLook(told!.seat.memory).note(2)).toBe(40);
    const t = room.clock.stamp();
    const event = { type: 'scan', t, inputs: [0], raws: [1] } as const;
    room.host.reading({ type: 'seated', t, seat: 2, event });
    expect(room.state('seats')[0]?.plugged).toBe('here');
    room.host.reading({ type: 'seated', t, seat: 2, event: { type: 'reset', t, why: 'quiet' } });
    expect(room.state('seats')[0]?.plugged).toBe('silent');
    room.host.reading({ type: 'seated', t, seat: 2, event });
    expect(room.state('seats')[0]?.plugged).toBe('here');
  });

  it('can be asked of by its id from then on, and its readings come where all were asked for', () => {
    const thread = room.thread();
    thread.order({ ask: 'readings', seats: null });
    room.host.join(5, planned('east'), '', MIX);
    const t = room.clock.stamp();
    const event = { type: 'scan', t, inputs: [0], raws: [1] } as const;
    room.host.reading({ type: 'seated', t, seat: 5, event });
    room.wait(50);
    expect(heard('readings').at(-1)?.events).toEqual([{ type: 'seated', t, seat: 5, event }]);
    // What it was told of the seat came before its readings.
    const types = thread.heard.map(({ type }) => type);
    expect(types.indexOf('seat')).toBeLessThan(types.indexOf('readings'));
    thread.order({ ask: 'press', seat: 2, pad: 3, strength: 1 });
    expect(room.hands).toEqual([['press', 5, 3, 1]]);
    thread.order({ ask: 'hold', seat: 2, on: true });
  });
});

describe('who joins and leaves', () => {
  it('is among the readings where all were asked for, in its place and as it can be sent', () => {
    const own = planned('east');
    const logic = (): never => {
      throw new Error('not to be called');
    };
    const join = {
      ...({ type: 'join', t: 5, seat: 2, name: 'east', mix: MIX } as const),
      plan: { ...own.plan, logic },
    };
    const all = (): unknown[] => heard('readings').flatMap(({ events }) => [...events]);
    room.thread().order({ ask: 'readings', seats: [0] });
    room.host.join(2, own, '', MIX);
    room.host.seating(join);
    room.wait(50);
    expect(all()).toEqual([]);
    room.thread().order({ ask: 'readings', seats: null });
    room.scan(0);
    room.host.seating(join);
    room.scan(1);
    room.host.seating({ type: 'leave', t: 6, seat: 2 });
    room.host.leave(2);
    expect(all().map((event) => (event as { type: string }).type)).toEqual([
      ...['seated', 'join', 'seated', 'leave'],
    ]);
    const { instrument, pads: plan, rules } = own.plan;
    expect(all()[1]).toEqual({ ...join, plan: { instrument, pads: plan, rules, made: false } });
  });
});

describe('a seat that leaves', () => {
  it('lets go of what is pressed and held of it, after all of its readings', () => {
    const thread = room.thread();
    thread.order({ ask: 'readings', seats: [0, 1] });
    thread.order({ ask: 'press', seat: 1, pad: 4, strength: 1 });
    thread.order({ ask: 'hold', seat: 1, on: true });
    room.scan(1);
    room.host.leave(1);
    expect(room.hands.at(-1)).toEqual(['release', 1, 4]);
    const [present] = heard('present');
    expect(present?.seats).toEqual([0]);
    const types = thread.heard.map(({ type }) => type);
    expect(types.indexOf('readings')).toBeLessThan(types.indexOf('present'));
    expect(room.state('seats').map(({ name }) => name)).toEqual(['north']);
    for (const order of [
      { ask: 'seat', seat: 1, mute: true },
      { ask: 'press', seat: 1, pad: 1, strength: 1 },
      { ask: 'try', seat: 1, values: {} },
      { ask: 'rules', seat: 1, name: 'plain' },
    ] as const) {
      expect(thread.answer(thread.order(order))).toMatch(/has left the room/);
    }
    expect(room.hands).toHaveLength(2);
    // Whatever still comes of its slot is nobody's.
    room.scan(1);
    room.host.voice(on(1));
  });

  it('has nothing to do with the next one in its slot', () => {
    const thread = room.thread();
    thread.order({ ask: 'press', seat: 1, pad: 4, strength: 1 });
    thread.order({ ask: 'hold', seat: 1, on: true });
    room.host.leave(1);
    room.host.join(1, planned('south'), '', MIX);
    const [, south] = room.state('seats');
    expect(south).toMatchObject({ id: 2, slot: 1, name: 'south', mix: { mute: false } });
    const before = room.hands.length;
    // These were on their way as the seat left.
    thread.order({ ask: 'hold', seat: 1, on: false });
    thread.order({ ask: 'release', seat: 1, pad: 4 });
    thread.order({ ask: 'seat', seat: 1, level: 0.1 });
    expect(room.hands).toHaveLength(before);
    expect(room.state('seats')[1]?.mix.level).toBe(0.5);
    thread.order({ ask: 'seat', seat: 2, level: 0.2 });
    expect(room.state('seats')[1]?.mix.level).toBe(0.2);
  });

  it('while its rules are looked for is not mistaken for the next one', async () => {
    const thread = room.thread();
    const id = thread.order({ ask: 'rules', seat: 1, name: 'legato' });
    room.host.leave(1);
    room.host.join(1, planned('south'), '', MIX);
    await room.until(() => expect(thread.answer(id)).toMatch(/has left the room/));
    expect(room.state('seats')[1]?.rules.name).toBe('plain');
  });

  it('is unknown to a page thread that starts, or has missed it', () => {
    room.thread().order({ ask: 'look', on: true });
    room.pulsing.on = false;
    room.wait((LATE + 1) * PULSE_MS);
    room.host.leave(0);
    room.host.join(3, planned('east'), '', MIX);
    expect(heard('present')).toEqual([]);
    room.thread().say({ type: 'alive' });
    expect(heard('present').at(-1)?.seats).toEqual([1, 2]);
    expect(heard('seat').map(({ seat }) => seat.id)).toEqual([1, 2]);
    room.thread().exit();
    expect(room.thread().data.seats.map(({ id, slot }) => [id, slot])).toEqual([
      [1, 1],
      [2, 3],
    ]);
  });
});

describe('a seat that stays', () => {
  it('with another kind of instrument keeps its id, and gets memory that fits', () => {
    const thread = room.thread();
    thread.order({ ask: 'look', on: true });
    thread.order({ ask: 'press', seat: 1, pad: 19, strength: 1 });
    room.scan(1);
    const before = room.state('seats')[1]!;
    expect(before.plugged).toBe('here');
    room.host.reseat(1, planned('south', 'drums-6'), 'elsewhere', MIX);
    expect(room.hands.at(-1)).toEqual(['release', 1, 19]);
    const now = room.state('seats')[1]!;
    expect(now).toMatchObject({ id: before.id, plugged: 'waiting', from: 'elsewhere', mix: MIX });
    expect([now.instrument.kind, now.strings, now.slice === before.slice]).toEqual([
      ...['hits', 6, false],
    ]);
    const told = heard('seat').at(-1)!.seat;
    expect(told.memory.slice).toEqual({ slice: now.slice, pads: 6, strings: 6 });
    room.host.voice({ ...on(1), string: 5 });
    expect(new SeatLook(told.memory).note(5)).toBe(40);
  });

  it('on another board gets other memory, though its instrument is the same', () => {
    const before = room.state('seats')[1]!;
    room.host.reseat(1, planned('south'), 'a cable', MIX);
    const now = room.state('seats')[1]!;
    expect([now.id, now.slice === before.slice]).toEqual([before.id, false]);
  });

  it('goes on in the same memory, whatever the others do', () => {
    const thread = room.thread();
    thread.order({ ask: 'look', on: true });
    const rows = new RowsReader(thread.data.seats[0]!.memory);
    let wanted = 0;
    for (let n = 0; n < 20; n++) {
      room.scans(0, 3);
      wanted += 3;
      if (n % 3 === 0) room.host.leave(1);
      else if (n % 3 === 1) room.host.join(1, planned('south', 'keys-13'), '', MIX);
      else room.host.reseat(1, planned('south', 'drums-6'), '', MIX);
    }
    expect(rows.read()).toMatchObject({ count: wanted, lost: 0 });
  });
});

describe('engines that come and go', () => {
  const engine = (name: string, sent: VoiceEvent[] = []): Engine => ({
    name,
    send: (event) => void sent.push(event),
    close: () => Promise.resolve(),
  });

  it('keep their switch while they stay, and never get the number of another one', () => {
    const thread = room.thread();
    const [a, b, c] = ['a', 'b', 'c'].map((name) => engine(name));
    const ceiling = { peak: -1, loudness: -16 };
    const first = room.host.engines([a!, b!], [ceiling, null]);
    const [idA, idB] = room.state('engines').map(({ id }) => id);
    thread.order({ ask: 'engine', engine: idB!, on: false });
    const now = room.host.engines([c!, b!], [null, ceiling]);
    expect(now[1]).toBe(first[1]);
    expect(now[0]).not.toBe(first[0]);
    const told = room.state('engines');
    expect(told.map(({ name, on, ceiling: own }) => [name, on, own])).toEqual([
      ['c', true, null],
      ['b', false, ceiling],
    ]);
    expect(told[1]?.id).toBe(idB);
    expect([idA, idB]).not.toContain(told[0]?.id);
    const gone = thread.order({ ask: 'engine', engine: idA!, on: false });
    expect(thread.answer(gone)).toMatch(/no longer in the room/);
    expect(room.state('engines')[0]?.on).toBe(true);
  });
});
