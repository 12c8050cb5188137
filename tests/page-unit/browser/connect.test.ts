import { describe, expect, it } from 'vitest';
import { connect } from '../../../src/page/browser/connect.js';
import type { Socket } from '../../../src/page/browser/line.js';
import type { Voices } from '../../../src/page/browser/connection.js';
import { CLOSING } from '../../../src/page/link/closing.js';
import type { Asked } from '../../../src/page/link/asks.js';
import { asked } from '../../../src/page/link/asks.js';
import { encodeLevels, levelsOf } from '../../../src/page/link/levels-frame.js';
import { encodeVoices } from '../../../src/page/link/voices-frame.js';
import type { Told } from '../../../src/page/link/told.js';
import { madeUpRoom } from '../../page/support/made-up-room.js';
import { layoutOf } from '../../page/support/made-up-seat.js';
import { madeUpTimers, settled } from './hands.js';

/** One WebSocket that a test is the far end of. */
class FarEnd extends EventTarget {
  binaryType = 'blob';
  readyState = 0;
  bufferedAmount = 0;
  readonly asked: Asked[] = [];
  send(text: string): void {
    this.asked.push(asked.parse(JSON.parse(text)));
  }
  close(): void {
    this.readyState = 3;
  }
  tell(told: Told): void {
    this.dispatchEvent(new MessageEvent('message', { data: JSON.stringify(told) }));
  }
  frame(bytes: Uint8Array): void {
    this.dispatchEvent(new MessageEvent('message', { data: bytes.slice().buffer }));
  }
  hello(version = 'one'): void {
    this.readyState = 1;
    this.tell({ told: 'hello', guest: false, version, seed: 7 });
  }
  end(code = 1006): void {
    this.readyState = 3;
    this.dispatchEvent(Object.assign(new Event('close'), { code }));
  }
}

function page() {
  const timers = madeUpTimers();
  const lines: FarEnd[] = [];
  let reloads = 0;
  const connection = connect({
    open() {
      const far = new FarEnd();
      lines.push(far);
      return far as unknown as Socket;
    },
    later: timers.later,
    chance: () => 0.5,
    reload: () => reloads++,
    notAsked: () => 'not asked',
  });
  const latest = (): FarEnd => lines.at(-1)!;
  return { connection, lines, latest, pass: timers.pass, reloads: () => reloads };
}

describe('a connection', () => {
  it('is open once the service has said hello', () => {
    const { connection, latest } = page();
    expect(connection.link.value).toBe('connecting');
    latest().hello();
    expect(connection.link.value).toBe('open');
    expect(connection.seed.value).toBe(7);
  });

  it('keeps each part of the state as it was told', () => {
    const { connection, latest } = page();
    const room = madeUpRoom({ seats: 2 });
    latest().hello();
    expect(connection.state.room.value).toBeNull();
    latest().tell({ told: 'room', now: room.room });
    latest().tell({ told: 'seats', now: room.seats });
    expect(connection.state.room.value).toEqual(room.room);
    expect(connection.state.seats.value).toEqual(room.seats);
  });

  it('keeps a seat that did not change as the same object, for what is drawn of it', () => {
    const { connection, latest } = page();
    const { seats } = madeUpRoom({ seats: 2 });
    latest().hello();
    latest().tell({ told: 'seats', now: seats });
    const before = connection.state.seats.value!;
    const mix = { ...seats[1]!.mix, level: 0.1 };
    latest().tell({ told: 'seats', now: [seats[0]!, { ...seats[1]!, mix }] });
    const after = connection.state.seats.value!;
    expect(after[0]).toBe(before[0]);
    expect(after[1]!.mix.level).toBe(0.1);
    expect(after[1]!.instrument).toBe(before[1]!.instrument);
  });

  it('knows a seat by its id, wherever it is in the list', () => {
    const { connection, latest } = page();
    const seats = madeUpRoom({ seats: 3 }).seats;
    latest().hello();
    latest().tell({ told: 'seats', now: seats });
    const [north, , door] = connection.state.seats.value!;
    // One has left, and another one of the same name has come in its place.
    const other = { ...seats[1]!, id: 9, slice: 9 };
    latest().tell({ told: 'seats', now: [seats[2]!, other, seats[0]!] });
    const after = connection.state.seats.value!;
    expect(after[0]).toBe(door);
    expect(after[2]).toBe(north);
    expect(after[1]!.id).toBe(9);
  });

  it('fills the same levels with each frame of the layout that it was told', () => {
    const { connection, latest } = page();
    const { seats } = madeUpRoom({ seats: 2, basses: true });
    latest().hello();
    latest().tell({ told: 'seats', now: seats });
    const sent = levelsOf(layoutOf(seats, 4));
    sent.frame = 1;
    sent.slices.get(101)!.pads[3] = 200;
    sent.slices.get(101)!.touched[3] = 1;
    // Before its layout was told, nothing can be made of a frame.
    latest().frame(encodeLevels(sent));
    expect(connection.levels.frame).toBe(0);
    latest().tell({ told: 'layout', ...layoutOf(seats, 4) });
    const { slices } = connection.levels;
    latest().frame(encodeLevels(sent));
    expect(connection.levels.slices).toBe(slices);
    expect(connection.levels.frame).toBe(1);
    const [one, other] = [slices.get(100)!, slices.get(101)!];
    expect([other.pads[3], other.touched[3], one.pads[3]]).toEqual([200, 1, 0]);
  });

  it('keeps the levels of seats that stay where the layout changes', () => {
    const { connection, latest } = page();
    const { seats } = madeUpRoom({ seats: 2, basses: true });
    latest().hello();
    latest().tell({ told: 'layout', ...layoutOf(seats, 1) });
    const sent = levelsOf(layoutOf(seats, 1));
    sent.frame = 1;
    sent.slices.get(101)!.pads.fill(77);
    latest().frame(encodeLevels(sent));
    const staying = connection.levels.slices.get(101)!;
    const [, stays] = seats;
    const fresh = { ...seats[0]!, id: 5, slice: 105, strings: 1 };
    latest().tell({ told: 'layout', ...layoutOf([stays!, fresh], 2) });
    expect([...connection.levels.slices.keys()]).toEqual([101, 105]);
    expect(connection.levels.slices.get(101)).toBe(staying);
    expect(staying.pads[0]).toBe(77);
    // A frame of the layout before, which is still on its way, is not decoded by the new one.
    latest().frame(encodeLevels(sent));
    expect(connection.levels.frame).toBe(1);
    // Another service, which counts slices again, may have other pads under the same number.
    const small = { ...stays!, padNames: ['one'], strings: 1 };
    latest().tell({ told: 'layout', ...layoutOf([small], 1) });
    expect([...connection.levels.slices.get(101)!.pads]).toEqual([0]);
  });

  it('answers what was asked, each by its own number', async () => {
    const { connection, latest } = page();
    latest().hello();
    const first = connection.ask({ ask: 'silence' });
    const second = connection.ask({ ask: 'engine', engine: 0, on: false });
    const [a, b] = latest().asked.map(({ id }) => id);
    latest().tell({ told: 'answer', id: b!, refused: 'no engine' });
    latest().tell({ told: 'answer', id: a!, refused: null });
    expect(await first).toBeNull();
    expect(await second).toBe('no engine');
  });

  it('says at once that nothing can be asked without a connection', async () => {
    const { connection, latest } = page();
    latest().hello();
    const open = connection.ask({ ask: 'silence' });
    latest().end();
    expect(await open).toBe('not asked');
    expect(await connection.ask({ ask: 'silence' })).toBe('not asked');
  });

  it('is at rest while the link is lost, and has those who sound voices end them', () => {
    const { connection, latest } = page();
    const { seats } = madeUpRoom({ seats: 1, basses: true });
    const heard: Voices[] = [];
    connection.onVoices((voices) => heard.push(voices));
    latest().hello();
    latest().tell({ told: 'seats', now: seats });
    latest().tell({ told: 'layout', ...layoutOf(seats) });
    const sent = levelsOf(layoutOf(seats));
    sent.frame = 1;
    sent.slices.get(100)!.touched.fill(1);
    sent.slices.get(100)!.notes.fill(40);
    latest().frame(encodeLevels(sent));
    const own = connection.levels.slices.get(100)!;
    expect(own.touched[0]).toBe(1);
    latest().end();
    expect([...own.touched]).toEqual(Array(20).fill(0));
    expect([...own.notes]).toEqual(Array(4).fill(255));
    expect(heard).toEqual([{ lost: true, now: 0, events: [] }]);
    expect(connection.state.seats.value).toEqual(seats);
  });

  it('has voices ended that it cannot read', () => {
    const { connection, latest } = page();
    const heard: Voices[] = [];
    const stop = connection.onVoices((voices) => heard.push(voices));
    latest().hello();
    const records = new Uint8Array(32).fill(250);
    const frame = encodeVoices({ lost: false, now: 5, count: 1, records });
    latest().frame(frame);
    expect(heard).toEqual([{ lost: true, now: 5, events: [] }]);
    stop();
    latest().frame(frame);
    expect(heard).toHaveLength(1);
  });

  it('does not fall over what it does not know', () => {
    const { connection, latest } = page();
    latest().hello();
    latest().tell({ told: 'weather', now: 1 } as unknown as Told);
    latest().frame(new Uint8Array([9, 9, 9]));
    latest().frame(new Uint8Array(0));
    expect(connection.link.value).toBe('open');
  });
});

describe('a connection that breaks off', () => {
  it('is tried again, later and later, at least every 5 seconds', () => {
    const { connection, lines, latest, pass } = page();
    latest().hello();
    for (let time = 0; time < 60_000; time += 50) {
      if (latest().readyState !== 3) latest().end();
      pass(50);
    }
    expect(connection.link.value).toBe('lost');
    // 250, 500, 1000, 2000, 4000 and then 5000 ms apart: 5 tries in the first 8 s, 10 in the rest.
    expect(lines.length).toBeGreaterThan(13);
    expect(lines.length).toBeLessThan(19);
  });

  it('is open again, and asks again for what it watched', async () => {
    const { connection, lines, latest, pass } = page();
    latest().hello();
    void connection.ask({ ask: 'watch', seat: 3 });
    void connection.ask({ ask: 'voices', on: true });
    void connection.ask({ ask: 'silence' });
    latest().end();
    pass(400);
    expect(lines).toHaveLength(2);
    latest().hello();
    await settled();
    expect(connection.link.value).toBe('open');
    expect(latest().asked.map(({ ask }) => ask)).toEqual([
      { ask: 'watch', seat: 3 },
      { ask: 'voices', on: true },
    ]);
  });

  it('loads the page again where another program answers', () => {
    const { latest, pass, reloads } = page();
    latest().hello('one');
    latest().end();
    pass(400);
    latest().hello('one');
    expect(reloads()).toBe(0);
    latest().end();
    pass(400);
    latest().hello('two');
    expect(reloads()).toBe(1);
  });

  it('is not tried again where the key is refused', () => {
    const { connection, lines, latest, pass } = page();
    latest().end(CLOSING.key);
    expect(connection.link.value).toBe('refused');
    pass(60_000);
    expect(lines).toHaveLength(1);
  });

  it('is given up where nobody answers, as in a network that went away', () => {
    const { connection, lines, latest, pass } = page();
    latest().hello();
    pass(5_000);
    expect(latest().asked.map(({ ask }) => ask.ask)).toEqual(['watch']);
    pass(4_999);
    expect(connection.link.value).toBe('open');
    pass(1);
    expect(connection.link.value).toBe('lost');
    pass(400);
    expect(lines).toHaveLength(2);
  });

  it('is not given up while anything is heard', () => {
    const { connection, lines, latest, pass } = page();
    latest().hello();
    for (let second = 0; second < 60; second++) {
      pass(1_000);
      latest().tell({ told: 'guide', now: null });
    }
    expect(connection.link.value).toBe('open');
    expect(lines).toHaveLength(1);
  });

  it('is tried at once where the device was woken', () => {
    const { connection, lines, latest } = page();
    latest().hello();
    latest().end();
    connection.now();
    connection.now();
    expect(lines).toHaveLength(2);
  });
});
