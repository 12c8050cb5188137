import { beforeEach, describe, expect, it } from 'vitest';
import { Live } from '../../../../src/page/browser/sound/live.js';
import type { VoiceEvent } from '../../../../src/room/voice.js';
import { seededNumbers } from '../../../../src/demo/gestures.js';
import { mix, off, on } from '../../../engine/builtin/helpers.js';
import { FakeSink, fakeConnection, pageSeat } from './hands.js';

/** The service's clock is this far behind the page's, in ms. */
const SERVICE_BEHIND = 100_000;
const RATE = 48;

let sink: FakeSink;
let link: ReturnType<typeof fakeConnection>;
let live: Live;
let refused: (string | null)[];

/** Voices that left the service at `now` (ms, by the page's clock) and took `way` ms. */
function arrive(events: readonly VoiceEvent[], now: number, way = 0, lost = false): void {
  sink.ms = now + way;
  live.tick();
  link.send({ lost, now: (now - SERVICE_BEHIND) * 1_000, events });
}
const at = (ms: number): number => (ms - SERVICE_BEHIND) * 1_000;
const note = (ms: number, voice = 1): VoiceEvent => on({ t: at(ms), voice });
/** When the last one sounds after its own time, in ms. */
const delayOf = (ms: number): number => sink.got.at(-1)!.frame / RATE + sink.contextBehind - ms;

beforeEach(() => {
  sink = new FakeSink();
  sink.ms = 200_000;
  link = fakeConnection();
  refused = [];
  live = new Live(sink, link.connection, (why) => refused.push(why));
  live.hear(true);
});

describe('live voices', () => {
  it('are asked for, and sound 30 ms after their own time', () => {
    expect(link.asked).toEqual([{ ask: 'voices', on: true }]);
    arrive([note(200_098)], 200_100);
    expect(delayOf(200_098)).toBeCloseTo(30, 1);
    expect(live.delayMs).toBe(30);
  });

  it('keep their time with 2 ms of jitter on the way: all within a frame, once it has settled', () => {
    const random = seededNumbers(7);
    const delays: number[] = [];
    for (let i = 0; i < 1_200; i++) {
      const ms = 200_100 + 50 * i;
      arrive([note(ms, i + 1)], ms, 2 * random());
      if (i > 200) delays.push(delayOf(ms));
    }
    const steps = delays.slice(1).map((delay, i) => Math.abs(delay - delays[i]!) * RATE);
    expect(Math.max(...steps)).toBeLessThanOrEqual(1.01);
    expect(Math.max(...delays) - Math.min(...delays)).toBeLessThan(0.3);
    expect(Math.min(...delays)).toBeGreaterThan(29.9);
    expect(Math.max(...delays)).toBeLessThan(30.4);
  });

  it('wait longer where the network is late, and less so again when it is not', () => {
    arrive([], 200_100);
    arrive([note(200_200)], 200_200, 80);
    expect(delayOf(200_200)).toBeGreaterThan(80);
    arrive([note(300_000, 2)], 300_000, 1);
    expect(delayOf(300_000)).toBeLessThan(33);
  });

  it('add what the device renders ahead', () => {
    sink.aheadMs = 100;
    arrive([note(200_100)], 200_100);
    expect(delayOf(200_100)).toBeCloseTo(130, 1);
    expect(live.delayMs).toBe(130);
  });

  it('never end before they begin, though the delay gets shorter', () => {
    arrive([], 200_100);
    arrive([note(200_200)], 200_200, 200);
    arrive([note(200_401, 2)], 200_401);
    arrive([off({ voice: 2, t: at(200_402) })], 260_000);
    const frames = sink.got.map(({ frame }) => frame).filter((frame) => frame > 0);
    expect(frames).toEqual([...frames].sort((a, b) => a - b));
  });

  it('that come half a second late begin no note, but still end one', () => {
    arrive([], 200_100);
    arrive([note(200_200), off({ voice: 9, t: at(200_200) })], 200_200, 900);
    expect(sink.notes.map(({ event }) => event.type)).toEqual(['off']);
  });

  it('are not held back for long by a clock that is off', () => {
    arrive([note(200_100 + 60_000)], 200_100);
    expect(delayOf(200_100)).toBeLessThan(501);
  });

  it('end where some were lost, and the seats are mixed as they are now', () => {
    arrive([note(200_100)], 200_100);
    const before = sink.silences;
    link.seats.value = [pageSeat('north', 0.25)];
    arrive([note(200_200, 2)], 200_200, 0, true);
    expect(sink.silences).toBe(before + 1);
    expect(sink.got.map(({ event }) => event)).toMatchObject([
      { type: 'mix', seat: 0, level: 0.25, pan: 0, sound: 34 },
      { type: 'on', voice: 2 },
    ]);
  });

  it('fall silent at once with a silence of the room, but for what comes after it', () => {
    const events = [
      note(200_100),
      mix({ level: 0.1, t: at(200_100) }),
      { type: 'silence', t: at(200_101) } as const,
      note(200_101, 2),
    ];
    arrive(events, 200_102);
    expect(sink.got.map(({ event }) => event)).toEqual([events[1], events[3]]);
  });

  it('end as the link is lost; as it is back they are asked for, by whatever clock it has', () => {
    arrive([note(200_100)], 200_100);
    link.link.value = 'lost';
    expect(sink.notes).toEqual([]);
    link.link.value = 'open';
    expect(link.asked).toEqual([
      { ask: 'voices', on: true },
      { ask: 'voices', on: true },
    ]);
    sink.ms = 300_000;
    link.send({ lost: false, now: 5_000, events: [on({ t: 4_000 })] });
    expect(delayOf(300_000)).toBeCloseTo(29, 1);
  });

  it('are not heard while they are not let, and not after the end', () => {
    live.hear(false);
    expect(link.asked.at(-1)).toEqual({ ask: 'voices', on: false });
    arrive([note(200_100)], 200_100);
    expect(sink.notes).toEqual([]);
    live.hear(true);
    arrive([note(200_200)], 200_200);
    expect(sink.notes).toHaveLength(1);
    live.end();
    expect(sink.notes).toEqual([]);
    arrive([note(200_300)], 200_300);
    link.seats.value = [pageSeat('a'), pageSeat('b', 1, 1)];
    expect(sink.notes).toEqual([]);
    expect(sink.begun).toBe(0);
  });

  it('of seats that come and go begin and end alone: what the others sound goes on', () => {
    const { silences } = sink;
    link.seats.value = [pageSeat('north', 0.3)];
    link.seats.value = [pageSeat('east', 0.4, 2, 7), pageSeat('north')];
    expect(sink.seats).toMatchObject([{ name: 'north' }, null, { name: 'east', level: 0.4 }]);
    arrive([note(200_100), on({ t: at(200_100), voice: 2, seat: 2, note: 40 })], 200_100);
    const before = sink.got.length;
    const last = sink.got.at(-1)!.frame;
    // Another seat in the same slot: its id alone tells it from the one before.
    link.seats.value = [pageSeat('north'), pageSeat('east', 0.4, 2, 8)];
    const events = sink.got.slice(before);
    expect(events.map(({ event }) => event)).toMatchObject([
      { type: 'off', voice: 2, seat: 2, note: 40 },
      { type: 'left', seat: 2 },
      { type: 'joined', seat: 2, sound: { name: 'east' } },
    ]);
    // Never before what is still on its way to the renderer.
    for (const { frame } of events) expect(frame).toBeGreaterThanOrEqual(last);
    link.seats.value = [pageSeat('north')];
    expect(sink.got.at(-1)!.event).toMatchObject({ type: 'left', seat: 2 });
    expect(sink.seats).toMatchObject([{ name: 'north' }, null, null]);
    expect([sink.begun, sink.silences]).toEqual([0, silences]);
  });

  it('have voices of their own made where the speaker was opened for other seats', () => {
    live.end();
    link.seats.value = [pageSeat('north'), pageSeat('south', 0.4, 1)];
    live = new Live(sink, link.connection, () => undefined);
    expect(sink.begun).toBe(1);
    expect(sink.seats).toMatchObject([{ name: 'north' }, { name: 'south', level: 0.4 }]);
  });

  it('tell why the service refuses them', async () => {
    link.connection.ask = () => Promise.resolve('too many pages listen');
    live.hear(false);
    live.hear(true);
    await Promise.resolve();
    expect(refused.at(-1)).toBe('too many pages listen');
  });
});
