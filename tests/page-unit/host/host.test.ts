import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { MOST_EVENTS } from '../../../src/page/host/readings.js';
import { PULSE_MS } from '../../../src/page/host/pulse.js';
import { LATE, STUCK } from '../../../src/page/host/serving.js';
import { RowsReader, SeatLook } from '../../../src/page/link/memory-read.js';
import { PADS, pageRoom, REST, SPAN, type PageRoomHands } from './room.js';

const pads = PADS.map(() => ({ rest: REST, span: SPAN, noise: 4, coupling: [] }));
const BUILD = { wiring: PADS, pads };

let folder: string;
let room: PageRoomHands;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'host-'));
  for (const own of ['rooms', 'rules', 'builds']) mkdirSync(join(folder, own));
  writeFileSync(join(folder, 'builds/north.json'), JSON.stringify(BUILD));
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

/** Plucks E1, which is pad 19, and holds it until the note has begun. */
function pluck(seat: number): number {
  room.scans(seat, 20);
  const before = room.voices.filter(({ type }) => type === 'on').length;
  room.scans(seat, 5, [19]);
  room.scans(seat, 20);
  return room.voices.filter(({ type }) => type === 'on').length - before;
}

describe('what pages are told', () => {
  it('is the room as it begins, and each part again as it changes', () => {
    const { seats, engines } = room.thread().data.state;
    expect(
      seats.map(({ name, plugged, build, raw, screen }) => [name, plugged, build, raw, screen]),
    ).toEqual([
      ['north', 'waiting', 'north', true, false],
      ['south', 'waiting', 'north', true, true],
    ]);
    expect(seats[0]?.padNames[19]).toBe('E1 pluck');
    expect(seats[0]?.rules).toMatchObject({ name: 'plain', tried: [], fault: null });
    expect(seats[0]?.rules.values['touch.lift']).toBe('24ms');
    expect(room.thread().data.state.room.rulesNames).toContain('legato');
    // What is -Infinity, JSON could not say.
    expect(engines[0]).toMatchObject({ on: true, loudness: { momentary: null, shortTerm: -20 } });

    room.scan(0);
    expect(room.state('seats').map(({ plugged }) => plugged)).toEqual(['here', 'waiting']);
    const t = room.clock.stamp();
    room.events.next({ type: 'seated', t, seat: 0, event: { type: 'reset', t, why: 'lost' } });
    expect(room.state('seats')[0]?.plugged).toBe('lost');
    room.scan(0);
    expect(room.state('seats')[0]?.plugged).toBe('here');
    room.service.change({ type: 'room-change', duck: 3 });
    expect(room.state('room').duck).toBe(3);
  });

  it('comes at most so often, and the last word always comes', () => {
    room.wait(100);
    const { heard } = room.thread();
    const before = heard.length;
    for (let n = 0; n <= 100; n++) {
      room.service.change({ type: 'seat-change', seat: 0, level: n / 100 });
      room.wait(10);
    }
    room.wait(100);
    const told = heard.slice(before).filter((one) => one.type === 'state');
    expect(told.length).toBeGreaterThan(10);
    expect(told.length).toBeLessThanOrEqual(22);
    expect(room.state('seats')[0]?.mix.level).toBe(1);
    const quiet = heard.length;
    room.wait(5_000);
    expect(heard.length).toBe(quiet);
  });

  it('is the latest hundred notices, and that the room has ended', () => {
    for (let n = 1; n <= 120; n++) room.host.tell({ level: 'info', what: `number ${String(n)}` });
    const notices = room.state('notices');
    expect(notices).toHaveLength(100);
    expect(notices.at(-1)).toMatchObject({ what: 'number 120', number: 120 });
    expect(room.told.at(-1)?.what).toBe('number 120');
    room.host.ended();
    expect(room.thread().heard.at(-1)).toMatchObject({ part: 'room', now: { playing: false } });
  });

  it('is the instrument that is played, at once, and memory for it where it has other pads', () => {
    const { instrument } = room.live.whole.seats[0]!;
    if (instrument.kind !== 'strings') throw new Error('no bass');
    const slice = room.state('seats')[0]!.slice;
    room.service.swap(0, { instrument: { ...instrument, name: 'renamed' } });
    expect(room.state('seats')[0]).toMatchObject({ slice, instrument: { name: 'renamed' } });
    const before = room.told.length;
    const strings = instrument.strings.slice(0, 3);
    room.service.swap(0, { instrument: { ...instrument, strings } });
    const now = room.state('seats')[0]!;
    expect(now).toMatchObject({ id: 0, strings: 3, instrument: { name: instrument.name } });
    expect(now.slice).not.toBe(slice);
    expect(room.told.slice(before)).toEqual([]);
    const told = room.thread().heard.findLast((one) => one.type === 'seat')!;
    expect(told.seat.memory.slice).toEqual({ slice: now.slice, pads: 15, strings: 3 });
    room.thread().order({ ask: 'look', on: true });
    const rows = new RowsReader(told.seat.memory);
    // The build does not fit it, so that it is calibrated again, 300 ms long.
    room.scans(0, 100);
    expect(rows.read().count).toBeGreaterThan(0);
    room.scans(0, 5);
    expect(rows.read().count).toBe(5);
  });

  it('is how loud it is, only while somebody looks', () => {
    const count = (): number =>
      room.thread().heard.filter((one) => one.type === 'state' && one.part === 'engines').length;
    room.wait(3_000);
    expect(count()).toBe(0);
    room.thread().order({ ask: 'look', on: true });
    room.wait(3_000);
    expect(count()).toBeGreaterThanOrEqual(5);
    expect(count()).toBeLessThanOrEqual(7);
    room.thread().order({ ask: 'look', on: false });
    room.wait(100);
    const before = count();
    room.wait(3_000);
    expect(count()).toBe(before);
  });

  it('is levels in shared memory, from when somebody looks', () => {
    const { memory } = room.thread().data.seats[0]!;
    const rows = new RowsReader(memory);
    room.scans(0, 5);
    expect(rows.read().count).toBe(0);
    room.thread().order({ ask: 'look', on: true });
    room.scans(0, 5, [3]);
    expect(rows.read().count).toBe(5);
    const touched = new Uint8Array(20);
    new SeatLook(memory).touched(touched);
    expect(touched[3]).toBe(1);
  });

  it('is all that came in of seats that were asked for, in its order, with what people changed', () => {
    room.thread().order({ ask: 'readings', seats: [1] });
    room.scans(0, 3);
    room.scan(1);
    room.service.change({ type: 'seat-change', seat: 1, mute: true });
    room.scan(1, [4]);
    room.wait(50);
    const batches = room.thread().heard.filter((one) => one.type === 'readings');
    expect(batches).toHaveLength(1);
    expect(batches[0]?.lost).toEqual([]);
    expect(
      batches[0]?.events.map((one) => (one.type === 'seated' ? one.event.type : one.type)),
    ).toEqual(['scan', 'seat-change', 'scan']);
    expect(batches[0]?.events[2]).toEqual(room.played.at(-1));
  });

  it('is of readings no more than a batch may hold, and that some are missing', () => {
    room.thread().order({ ask: 'readings', seats: [0, 1] });
    room.scans(0, MOST_EVENTS + 5);
    room.wait(50);
    room.scan(0);
    room.wait(50);
    const batches = room.thread().heard.filter((one) => one.type === 'readings');
    expect(batches.map(({ events, lost }) => [events.length, lost])).toEqual([
      [MOST_EVENTS, []],
      [1, [0]],
    ]);
  });
});

describe('what pages ask for', () => {
  it('changes the room, turns engines off, and silences', () => {
    const thread = room.thread();
    expect(thread.answer(thread.order({ ask: 'seat', seat: 0, level: 0.5, solo: true }))).toBe(
      null,
    );
    thread.order({ ask: 'room', scale: [0, 2], voices: 7 });
    expect(room.state('seats')[0]?.mix).toMatchObject({ level: 0.5, solo: true, mute: false });
    expect(room.state('room')).toMatchObject({ scale: [0, 2], voices: 7, duck: 9 });
    thread.order({ ask: 'engine', engine: 0, on: false });
    expect(room.state('engines')[0]?.on).toBe(false);
    expect(pluck(0)).toBe(0);
    thread.order({ ask: 'engine', engine: 0, on: true });
    expect(pluck(0)).toBe(1);
    const before = room.voices.length;
    thread.order({ ask: 'silence' });
    expect(room.voices.slice(before).some(({ type }) => type === 'silence')).toBe(true);
    expect(thread.answer(thread.order({ ask: 'engine', engine: 9, on: true }))).toMatch(
      /no longer in the room/,
    );
    expect(thread.answer(thread.order({ ask: 'seat', seat: 9, mute: true }))).toMatch(/has left/);
  });

  it('plays a unit on the page, and none that has hands of its own', () => {
    const thread = room.thread();
    thread.order({ ask: 'press', seat: 1, pad: 4, strength: 0.5 });
    thread.order({ ask: 'release', seat: 1, pad: 4 });
    thread.order({ ask: 'plug', seat: 1, plugged: false });
    expect(room.hands).toEqual([
      ['press', 1, 4, 0.5],
      ['release', 1, 4],
      ['plug', 1, false],
    ]);
    for (const order of [
      { ask: 'press', seat: 0, pad: 4, strength: 1 },
      { ask: 'release', seat: 0, pad: 4 },
      { ask: 'plug', seat: 0, plugged: true },
    ] as const) {
      expect(thread.answer(thread.order(order))).toMatch(/not played on the page/);
    }
    expect(room.hands).toHaveLength(3);
  });

  it('holds a seat beside its own mute, whatever people set meanwhile', async () => {
    const thread = room.thread();
    thread.order({ ask: 'hold', seat: 0, on: true });
    expect(pluck(0)).toBe(0);
    expect(room.state('seats')[0]?.mix.mute).toBe(false);
    thread.order({ ask: 'seat', seat: 0, mute: false });
    await Promise.resolve();
    expect(pluck(0)).toBe(0);
    thread.order({ ask: 'hold', seat: 0, on: false });
    expect(pluck(0)).toBe(1);

    thread.order({ ask: 'hold', seat: 0, on: true });
    thread.order({ ask: 'seat', seat: 0, mute: true });
    expect(room.state('seats')[0]?.mix.mute).toBe(true);
    thread.order({ ask: 'hold', seat: 0, on: false });
    expect(room.state('seats')[0]?.mix.mute).toBe(true);
    expect(pluck(0)).toBe(0);
  });

  it('tries values while a note is held, says what is wrong with one, and goes back', () => {
    const thread = room.thread();
    room.scans(0, 20);
    room.scans(0, 5, [15, 19]);
    const on = room.voices.find((one) => one.type === 'on');
    expect(on).toBeDefined();
    const id = thread.order({
      ask: 'try',
      seat: 0,
      values: { 'strings.ring': '2s', 'touch.on': '0.3' },
    });
    expect(thread.answer(id)).toBe(null);
    expect(room.state('seats')[0]?.rules).toMatchObject({
      name: 'plain',
      tried: ['touch.on', 'strings.ring'],
      values: { 'strings.ring': '2s', 'touch.on': '0.3', 'touch.off': '0.12' },
    });
    // The string's note goes on.
    expect(room.voices.some((one) => one.type === 'off')).toBe(false);
    const plan = thread.heard.filter((one) => one.type === 'seat').at(-1);
    expect(plan).toMatchObject({ seat: { id: 0, plan: { rules: { touch: { on: 0.3 } } } } });

    const wrong = thread.order({ ask: 'try', seat: 0, values: { 'touch.off': '0.5' } });
    expect(thread.answer(wrong)).toMatch(
      /touch\.off: found 0\.5, allowed: a level below touch\.on/,
    );
    expect(room.state('seats')[0]?.rules.fault).toBe(thread.answer(wrong));
    for (const [values, words] of [
      [{ 'touch.lift': '30' }, /touch\.lift: .*Add the unit: 30ms/s],
      [{ 'touch.lfit': '30ms' }, /Did you mean touch\.lift/],
      [{ 'touch.lift': '"30ms' }, /touch\.lift: found/],
      [{ 'touch.on': '0.3\nname: other' }, /touch\.on/],
      [{ logic: '/etc/x.ts' }, /not changed from a page/],
    ] as const) {
      expect(thread.answer(thread.order({ ask: 'try', seat: 0, values }))).toMatch(words);
    }
    expect(room.state('seats')[0]?.rules.values['touch.on']).toBe('0.3');
    thread.order({ ask: 'undo-tried', seat: 0 });
    expect(room.state('seats')[0]?.rules).toMatchObject({
      tried: [],
      fault: null,
      values: { 'strings.ring': '4s', 'touch.on': '0.2' },
    });
  });

  it('chooses rules by name, and only such as have one', async () => {
    const thread = room.thread();
    const legato = thread.order({ ask: 'rules', seat: 0, name: 'legato' });
    await room.until(() => expect(thread.answer(legato)).toBe(null));
    expect(room.state('seats')[0]?.rules.name).toBe('legato');
    writeFileSync(join(folder, 'secret.yaml'), 'a: 1\n');
    for (const name of ['../secret.yaml', join(folder, 'secret.yaml'), 'nothing']) {
      const id = thread.order({ ask: 'rules', seat: 0, name });
      await room.until(() => expect(thread.answer(id)).toMatch(/There are no rules/));
    }
    writeFileSync(join(folder, 'rules/faulty.yaml'), 'touch: { on: x }\n');
    const id = thread.order({ ask: 'rules', seat: 0, name: 'faulty' });
    await room.until(() => expect(thread.answer(id)).toMatch(/cannot be used/));
    expect(room.state('room').rulesNames).toContain('faulty');
    expect(room.state('seats')[0]?.rules.name).toBe('legato');
  });
});

describe('a page thread that', () => {
  it('dies has let go of all that it held, is started again once, and the room plays on', () => {
    const thread = room.thread();
    thread.order({ ask: 'look', on: true });
    thread.order({ ask: 'hold', seat: 0, on: true });
    thread.order({ ask: 'press', seat: 1, pad: 4, strength: 1 });
    thread.order({ ask: 'readings', seats: [0] });
    const rows = new RowsReader(thread.data.seats[0]!.memory);
    thread.exit(new Error('out of memory'));
    expect(room.threads).toHaveLength(2);
    expect(room.hands.at(-1)).toEqual(['release', 1, 4]);
    expect(pluck(0)).toBe(1);
    expect(rows.read().count).toBe(0);
    room.wait(1_000);
    expect(room.thread().heard.some((one) => one.type === 'readings')).toBe(false);
    expect(room.thread().data.state.seats[0]?.mix.mute).toBe(false);
    expect(room.told.at(-1)?.what).toMatch(/started again \(out of memory\)/);
    // A message of the first one that was still on its way changes nothing.
    thread.order({ ask: 'seat', seat: 0, mute: true });
    expect(room.state('seats')[0]?.mix.mute).toBe(false);

    room.thread().exit();
    expect(room.threads).toHaveLength(2);
    expect(room.told.at(-1)).toMatchObject({ level: 'error' });
    expect(pluck(0)).toBe(1);
    room.service.change({ type: 'seat-change', seat: 0, level: 0.1 });
    room.wait(1_000);
  });

  it('never answers is sent nothing after a while, and ended in the end', () => {
    const thread = room.thread();
    room.pulsing.on = false;
    thread.order({ ask: 'readings', seats: [0] });
    thread.order({ ask: 'hold', seat: 0, on: true });
    room.wait((LATE + 1) * PULSE_MS);
    const before = thread.heard.length;
    for (let n = 0; n < 100; n++) {
      room.scan(0);
      room.service.change({ type: 'seat-change', seat: 0, level: n / 100 });
      room.wait(50);
    }
    expect(thread.heard.length).toBe(before);
    // Back again, it is told what it has missed.
    thread.say({ type: 'alive' });
    room.wait(200);
    room.scan(0);
    room.wait(200);
    const news = thread.heard.slice(before);
    expect(news.flatMap((one) => (one.type === 'state' ? [one.part] : [])).sort()).toEqual([
      'engines',
      'notices',
      'room',
      'seats',
    ]);
    expect(news.find((one) => one.type === 'readings')?.lost).toEqual([0]);
    expect(news.filter((one) => one.type === 'seat')).toHaveLength(2);
    room.wait((STUCK + 1) * PULSE_MS);
    expect(thread.ended).toBe(true);
    expect(room.threads).toHaveLength(2);
    expect(pluck(0)).toBe(1);
  });

  it('floods is refused, and ended where that is too much, but what ends something is always done', () => {
    const thread = room.thread();
    for (let n = 0; n < 6_000; n++) thread.order({ ask: 'seat', seat: 0, level: (n % 100) / 100 });
    const refused = thread.heard.filter((one) => one.type === 'answer' && one.refused !== null);
    expect(refused.length).toBeGreaterThan(1_500);
    thread.order({ ask: 'hold', seat: 0, on: true });
    thread.order({ ask: 'release', seat: 1, pad: 2 });
    expect(room.hands).toEqual([['release', 1, 2]]);
    expect(pluck(0)).toBe(1);
    room.wait(5_000);
    expect(thread.answer(thread.order({ ask: 'seat', seat: 0, level: 1 }))).toBe(null);
    for (let n = 0; n < 30_000; n++) thread.order({ ask: 'room', duck: 1 });
    expect(thread.ended).toBe(true);
    expect(room.threads).toHaveLength(2);
    expect(room.told.at(-1)?.what).toMatch(/far too much/);
    expect(pluck(0)).toBe(1);
  });

  it('asks for what fails is answered, and the room plays on', () => {
    const thread = room.thread();
    const broken = { ask: 'try', seat: 0, values: null } as never;
    expect(thread.answer(thread.order(broken))).toMatch(/It failed/);
    expect(room.told.at(-1)).toMatchObject({ level: 'error', where: 'page' });
    expect(pluck(0)).toBe(1);
  });

  it('says where it serves, and tells people, has that passed on', () => {
    const links = [{ url: 'http://127.0.0.1:8480/', guest: false }];
    room.thread().say({ type: 'serving', links });
    expect(room.links).toEqual([links]);
    room.thread().say({ type: 'notice', notice: { level: 'info', what: 'a word' } });
    expect(room.told.at(-1)?.what).toBe('a word');
  });

  it('does not close is ended after a while, and until then keeps the program alive', async () => {
    const thread = room.thread();
    let over = false;
    const closing = room.host.close().then(() => (over = true));
    await Promise.resolve();
    expect([thread.heard.at(-1)?.type, thread.refs, over]).toEqual(['close', 0, false]);
    room.pulsing.on = false;
    room.wait(2_100);
    await closing;
    expect(thread.ended).toBe(true);
    expect(room.threads).toHaveLength(1);
  });
});
