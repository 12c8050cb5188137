import { readFileSync } from 'node:fs';
import { join as join_ } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { ThreadSeat } from '../../../src/page/host/messages.js';
import { FRAME } from '../../../src/page/link/frames.js';
import { decodeHistory } from '../../../src/page/link/history-frame.js';
import { decodeLevels, levelsOf, NO_LAYOUT } from '../../../src/page/link/levels-frame.js';
import { SeatWriter } from '../../../src/page/link/memory-write.js';
import { seatMemory } from '../../../src/page/link/memory.js';
import { planRoomTake } from '../../../src/ports/takes/room-plan.js';
import { allOf } from '../../support/takes.js';
import { openTake } from '../../../src/takes/read.js';
import { makeGuides } from '../../../src/page/server/guides/make-guides.js';
import type { RoomTakeEvent } from '../../../src/takes/room-line.js';
import { FakePage, startHost, threadSeat, type Host } from './fake-host.js';

/** A seat that comes while the room plays: none of its numbers is like another one. */
const newcomer = (pads = 13, slice = 207): ThreadSeat => ({
  ...threadSeat('east', 0),
  id: 7,
  slot: 2,
  memory: seatMemory({ slice, pads, strings: 2 }),
});

/**
 * All frames that a page got, decoded as its browser does it, in the order in which they came: by the
 * layout that was told before each.
 */
class Decoded {
  levels = levelsOf(NO_LAYOUT);
  frames = 0;
  refused = 0;
  /** How often a frame was missing before one. */
  gaps = 0;

  constructor(page: FakePage) {
    page.socket.on('message', (bytes: Buffer, binary: boolean) => {
      if (!binary) {
        const told = JSON.parse(bytes.toString('utf8')) as { told: string };
        if (told.told === 'layout') this.levels = levelsOf(told as never, this.levels);
        return;
      }
      if (bytes[0] !== FRAME.levels) return;
      const before = this.levels.frame;
      if (!decodeLevels(Uint8Array.from(bytes), this.levels)) this.refused += 1;
      else {
        this.frames += 1;
        if (before > 0 && this.levels.frame !== before + 1) this.gaps += 1;
      }
    });
  }
}

const scan = (seat: number, t: number): RoomTakeEvent => ({
  type: 'seated',
  t,
  seat,
  event: { type: 'scan', t, inputs: [0, 1], raws: [t, t] },
});

const present = (host: Host, ...seats: number[]): void => host.hear({ type: 'present', seats });

describe('frames while seats come and go', () => {
  it('come to every page without a gap, each after its layout', async () => {
    const host = await startHost();
    const pages = Array.from({ length: 6 }, () => new FakePage(host.port));
    const decoded = pages.map((page) => new Decoded(page));
    for (const page of pages) await page.greeted();
    const north = host.writers[0]!;
    const levels = new Float32Array(20);
    let t = 0;
    const play = async (): Promise<void> => {
      const until = decoded.map(({ frames }) => frames + 3);
      while (decoded.some(({ frames }, i) => frames < until[i]!)) {
        north.row(++t, levels.fill((t % 20) / 20 + 0.05));
        await new Promise((turn) => setTimeout(turn, 4));
      }
      for (const { levels: now } of decoded)
        expect(now.slices.get(100)!.pads[0]).toBeGreaterThan(0);
    };
    for (let round = 0; round < 5; round++) {
      await play();
      const east = { ...newcomer(13 + round, 200 + round), id: 10 + round };
      host.hear({ type: 'seat', seat: east });
      await play();
      const refitted = { ...east, memory: seatMemory({ slice: 300 + round, pads: 2, strings: 1 }) };
      host.hear({ type: 'seat', seat: refitted });
      await play();
      expect([...decoded[0]!.levels.slices.keys()]).toEqual([100, 101, 300 + round]);
      present(host, 0, 1);
    }
    await play();
    for (const { refused, gaps, levels: now } of decoded) {
      expect([refused, gaps]).toEqual([0, 0]);
      expect([...now.slices.keys()]).toEqual([100, 101]);
    }
  });

  it('of history are of the seat that is watched, and of its new pads once it has others', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    const east = newcomer();
    host.hear({ type: 'seat', seat: east });
    expect(await page.ask({ ask: 'watch', seat: 7 })).toBeNull();
    const slices = (): number[] =>
      page.frames
        .filter(([kind]) => kind === FRAME.history)
        .flatMap((bytes) => decodeHistory(bytes, (slice) => (slice === 207 ? 13 : 2))!.slice);
    const writeUntil = async (seat: ThreadSeat, slice: number): Promise<void> => {
      const writer = new SeatWriter(seat.memory);
      const levels = new Float32Array(seat.memory.slice.pads);
      for (let t = 0; slices().at(-1) !== slice; t++) {
        writer.row(t, levels);
        await new Promise((turn) => setTimeout(turn, 2));
      }
    };
    await writeUntil(east, 207);
    const refitted = newcomer(2, 208);
    host.hear({ type: 'seat', seat: refitted });
    await writeUntil(refitted, 208);
    present(host, 0, 1);
    const before = slices().length;
    const frames = page.frames.length;
    new SeatWriter(refitted.memory).row(1e9, new Float32Array(2));
    await page.until(() => page.frames.length > frames + 3);
    expect(slices()).toHaveLength(before);
    // It may look at another one.
    expect(await page.ask({ ask: 'watch', seat: 7 })).toMatch(/has left the room/);
    expect(await page.ask({ ask: 'watch', seat: 0 })).toBeNull();
  });
});

describe('a seat that leaves', () => {
  it('is not let go of by the page that held its pads: its slot may be another one’s', async () => {
    const host = await startHost();
    const [page, other] = [new FakePage(host.port), new FakePage(host.port)];
    await page.ask({ ask: 'press', seat: 1, pad: 3, strength: 1 });
    await page.ask({ ask: 'press', seat: 0, pad: 4, strength: 1 });
    present(host, 0);
    expect(await page.ask({ ask: 'release', seat: 1, pad: 3 })).toMatch(/has left the room/);
    page.socket.terminate();
    await other.until(() => host.orders.some(({ ask }) => ask === 'release'));
    expect(host.orders.filter(({ ask }) => ask === 'release')).toEqual([
      { ask: 'release', seat: 0, pad: 4 },
    ]);
  });

  it('ends its guide, and people are told why', async () => {
    const host = await startHost({ makeGuides });
    const page = new FakePage(host.port);
    const guide = { ask: 'guide', seat: 1, guide: 'calibrate' };
    expect(await page.ask({ ...guide, do: 'begin' })).toBeNull();
    await page.until(() => page.last('guide')?.now);
    present(host, 0);
    await page.until(() => page.last('guide')?.now === null);
    const told = host.told.flatMap((one) => (one.type === 'notice' ? [one.notice] : []));
    expect(told).toEqual([
      {
        level: 'warn',
        where: 'seat south',
        what: expect.stringMatching(/Calibrating has ended.*left the room; nothing was written/),
        next: expect.stringMatching(/begin again/),
      },
    ]);
    expect(await page.ask({ ...guide, do: 'end' })).toMatch(/has left the room/);
    // Another seat may be guided now.
    expect(await page.ask({ ...guide, seat: 0, do: 'begin' })).toBeNull();
  });

  it('ends a guide whose instrument has other pads now', async () => {
    const host = await startHost({ makeGuides });
    const page = new FakePage(host.port);
    expect(await page.ask({ ask: 'guide', seat: 1, guide: 'wire', do: 'begin' })).toBeNull();
    const memory = seatMemory({ slice: 9, pads: 2, strings: 1 });
    host.hear({ type: 'seat', seat: { ...threadSeat('south', 1), memory } });
    const failed = await page.until(() => {
      const now = page.last('guide')?.now;
      return now?.phase === 'failed' && now;
    });
    expect(failed.words).toMatch(/changed meanwhile.*nothing was written/);
  });

  it('is in a take of the whole room from its joining to its leaving, in its place', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    // The slot before it is free: the take has no seat for it.
    present(host, 1);
    expect(await page.ask({ ask: 'record', seat: null, do: 'begin' })).toBeNull();
    const { file } = (await page.until(() => page.last('recording')?.now))!;
    const east = newcomer(20);
    host.hear({ type: 'seat', seat: east });
    const { plan } = east;
    const mix = { level: 0.5, pan: 0, mute: false, solo: false, lead: false, sound: 34 };
    const join: RoomTakeEvent = { type: 'join', t: 20, seat: 2, name: 'east', plan, mix };
    const leave: RoomTakeEvent = { type: 'leave', t: 40, seat: 2 };
    const events = [scan(1, 10), join, scan(2, 30), scan(1, 31), leave, scan(1, 50)];
    host.hear({ type: 'readings', events, lost: [] });
    present(host, 1);
    // Of this one the joining was lost on its way.
    host.hear({ type: 'seat', seat: { ...newcomer(20, 208), id: 8, name: 'west' } });
    host.hear({ type: 'readings', events: [scan(2, 60)], lost: [2] });
    // And of this one the leaving.
    present(host, 1);
    host.hear({ type: 'readings', events: [scan(2, 70), scan(1, 80)], lost: [] });
    expect(await page.ask({ ask: 'record', seat: null, do: 'end' })).toBeNull();
    const path = join_(host.takes, file);
    const opened = await openTake(readFileSync(path, 'utf8'));
    const { take, names } = await planRoomTake(path, opened, host.folder);
    expect(names[0]).toBe('south');
    const told = (await allOf(take.events(() => expect.unreachable()))).map((event) => [
      event.t,
      event.type === 'seated' ? event.event.type : event.type,
      event.type === 'room-change' ? null : event.seat,
      event.type === 'join' ? event.name : '',
    ]);
    expect(told).toEqual([
      [10, 'scan', 0, ''],
      [20, 'join', 1, 'east'],
      [30, 'scan', 1, ''],
      [31, 'scan', 0, ''],
      [40, 'leave', 1, ''],
      [50, 'scan', 0, ''],
      [60, 'join', 1, 'west'],
      [60, 'scan', 1, ''],
      [60, 'leave', 1, ''],
      [80, 'scan', 0, ''],
      [80, 'reset', 0, ''],
    ]);
  });

  it('ends a recording of it alone where it has another board, whose readings are not in it', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    expect(await page.ask({ ask: 'record', seat: 1, do: 'begin' })).toBeNull();
    const { file } = (await page.until(() => page.last('recording')?.now))!;
    host.hear({ type: 'readings', events: [scan(1, 10)], lost: [] });
    const memory = seatMemory({ slice: 9, pads: 20, strings: 4 });
    host.hear({ type: 'seat', seat: { ...threadSeat('south', 1), memory } });
    host.hear({ type: 'readings', events: [scan(1, 20)], lost: [] });
    await page.until(() => page.last('recording')?.now === null);
    await page.until(() => page.last('takes')?.now.some(({ name }) => name === file));
    const lines = readFileSync(join_(host.takes, file), 'utf8').trim().split('\n');
    expect(lines.slice(1)).toEqual(['[10,0,10,1,10]', '[10]']);
    const ends = host.notices().filter((notice) => /recording has ended/.test(notice));
    expect(ends).toEqual([expect.stringMatching(/another instrument or board/)]);
  });

  it('ends a recording of it alone, with all that was read of it, and people are told why', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    host.hear({ type: 'seat', seat: newcomer() });
    expect(await page.ask({ ask: 'record', seat: 7, do: 'begin' })).toBeNull();
    expect(host.orders.at(-1)).toEqual({ ask: 'readings', seats: [7] });
    const { file, seat } = (await page.until(() => page.last('recording')?.now))!;
    expect(seat).toBe(7);
    // Its readings come under its slot; another seat has its id as slot.
    host.hear({ type: 'readings', events: [scan(2, 10), scan(7, 11), scan(2, 12)], lost: [] });
    present(host, 0, 1);
    await page.until(() => page.last('recording')?.now === null);
    await page.until(() => page.last('takes')?.now.some(({ name }) => name === file));
    const lines = readFileSync(join_(host.takes, file), 'utf8').trim().split('\n');
    expect(lines.slice(1)).toEqual(['[10,0,10,1,10]', '[12,0,12,1,12]', '[12]']);
    expect(host.notices()).toEqual([
      expect.stringMatching(/^Recording to .*: an hour takes up to \d/),
      expect.stringMatching(/recording has ended.*left the room.*kept in east-/),
      expect.stringMatching(/^Kept 2 scans/),
    ]);
    expect(await page.ask({ ask: 'record', seat: 0, do: 'begin' })).toBeNull();
  });
});
