import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { RoomTakeEvent } from '../../../src/takes/room-line.js';
import { openTake } from '../../../src/takes/read.js';
import { readTakeFile } from '../../../src/ports/takes/read.js';
import { allOf } from '../../support/takes.js';
import { planTake } from '../../../src/ports/takes/plan.js';
import { planRoomTake } from '../../../src/ports/takes/room-plan.js';
import { eventually, FakePage, get, json, startHost } from './fake-host.js';

const scan = (seat: number, t: number, raw: number): RoomTakeEvent => ({
  type: 'seated',
  t,
  seat,
  event: { type: 'scan', t, inputs: [0, 1], raws: [raw, raw] },
});

describe('a recording', () => {
  it('of a seat is a take that can be planned again, and is in the list', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    expect(await page.ask({ ask: 'record', seat: 1, do: 'begin' })).toBeNull();
    expect(host.orders.at(-1)).toEqual({ ask: 'readings', seats: [1] });
    const recording = await page.until(() => page.last('recording')?.now);
    expect(recording).toMatchObject({ seat: 1, scans: 0 });
    expect(recording.file).toMatch(/^south-\d{4}-\d\d-\d\d-\d{6}\.take\.jsonl$/);
    host.hear({
      type: 'readings',
      events: [scan(1, 10, 1), scan(0, 11, 9), scan(1, 12, 2)],
      lost: [],
    });
    const lost: RoomTakeEvent = {
      type: 'seated',
      t: 13,
      seat: 1,
      event: { type: 'reset', t: 13, why: 'lost' },
    };
    host.hear({
      type: 'readings',
      events: [{ type: 'room-change', t: 13, duck: 3 }, lost],
      lost: [],
    });
    expect(await page.ask({ ask: 'record', seat: 1, do: 'end' })).toBeNull();
    expect(host.orders.at(-1)).toEqual({ ask: 'readings', seats: [] });
    const path = join(host.takes, recording.file);
    const take = await readTakeFile(path);
    expect(await allOf(take.events(() => expect.unreachable()))).toEqual([
      { type: 'scan', t: 10, inputs: [0, 1], raws: [1, 1] },
      { type: 'scan', t: 12, inputs: [0, 1], raws: [2, 2] },
      { type: 'reset', t: 13, why: 'lost' },
      { type: 'scan', t: 13, inputs: [], raws: [] },
    ]);
    const plan = await planTake(path, take.header, host.folder, {});
    const { instrument, pads, rules } = host.data.seats[1]!.plan;
    expect([plan.instrument, plan.pads, plan.rules]).toEqual([
      ...[instrument, { ...pads, numbered: false }, rules],
    ]);
    const list = await page.until(() => page.last('takes')?.now.find(({ room }) => !room));
    expect(list.name).toBe(recording.file);
    const given = await get(host.port, `/takes/${recording.file}`);
    expect(given.body).toBe(readFileSync(path, 'utf8'));
    expect(host.notices()).toEqual([
      expect.stringMatching(/^Recording to .*: an hour takes up to \d+ MB, and .* are free$/),
      expect.stringMatching(/^Kept 2 scans in /),
    ]);
    // Parts of the state are told a moment after what was answered.
    await page.until(() => page.last('recording')?.now === null);
  });

  it('of the whole room goes on without its page, with changes in their place', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    expect(await page.ask({ ask: 'record', seat: null, do: 'begin' })).toBeNull();
    expect(host.orders.at(-1)).toEqual({ ask: 'readings', seats: null });
    const { file } = await page.until(() => page.last('recording')?.now);
    page.socket.terminate();
    await eventually(() => host.orders.at(-1)!.ask === 'look');
    const events: RoomTakeEvent[] = [
      scan(1, 10, 1),
      { type: 'seat-change', t: 11, seat: 0, mute: true },
      scan(0, 12, 3),
    ];
    host.hear({ type: 'readings', events, lost: [] });
    const next = new FakePage(host.port);
    await next.until(() => next.last('recording')?.now?.scans === 2);
    expect(await next.ask({ ask: 'record', seat: 0, do: 'begin' })).toMatch(
      /already.*End that first/,
    );
    expect(await next.ask({ ask: 'record', seat: null, do: 'end' })).toBeNull();
    const path = join(host.takes, file);
    const planned = await planRoomTake(
      path,
      await openTake(readFileSync(path, 'utf8')),
      host.folder,
    );
    const kept = await allOf(planned.take.events(() => expect.unreachable()));
    expect(kept.slice(0, 3)).toEqual(events);
    expect(planned.names).toEqual(['north', 'south']);
    expect(planned.room.mixes[0]).toEqual(host.data.state.seats[0]!.mix);
    expect(json(await get(host.port, '/takes'))).toMatchObject([{ name: file, room: true }]);
  });

  it('takes in what comes until its end was answered', async () => {
    const host = await startHost({
      answer: (order) => (order.ask === 'readings' && order.seats?.length === 0 ? undefined : null),
    });
    const page = new FakePage(host.port);
    await page.ask({ ask: 'record', seat: 0, do: 'begin' });
    const { file } = await page.until(() => page.last('recording')?.now);
    const ended = page.ask({ ask: 'record', seat: 0, do: 'end' });
    await eventually(() => host.orders.at(-1)!.ask === 'readings' && host.orders.length === 3);
    expect(await page.ask({ ask: 'record', seat: 0, do: 'end' })).toMatch(/Nothing is being/);
    host.hear({ type: 'readings', events: [scan(0, 10, 1)], lost: [] });
    const last = host.told.findLast((one) => one.type === 'order')!;
    host.hear({ type: 'answer', id: last.type === 'order' ? last.id : 0, refused: null });
    expect(await ended).toBeNull();
    expect(readFileSync(join(host.takes, file), 'utf8').trim().split('\n').slice(1)).toEqual([
      ...['[10,0,1,1,1]', '[10]'],
    ]);
  });

  it('is kept when the room ends, and says once where readings are missing', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    await page.ask({ ask: 'record', seat: 0, do: 'begin' });
    const { file } = await page.until(() => page.last('recording')?.now);
    for (const t of [10, 20])
      host.hear({ type: 'readings', events: [scan(0, t, 1)], lost: [0, 1] });
    await host.close();
    const lines = readFileSync(join(host.takes, file), 'utf8').trim().split('\n');
    expect(lines.slice(1)).toEqual(['[10,0,1,1,1]', '[20,0,1,1,1]', '[20]']);
    expect(host.notices()).toEqual([
      expect.stringMatching(/^Recording to .*: an hour takes up to \d/),
      expect.stringMatching(/readings are missing/),
      expect.stringMatching(/^Kept 2 scans/),
    ]);
  });

  it('never takes the place of another one, and is refused in words where it cannot be', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    expect(await page.ask({ ask: 'record', seat: 0, do: 'end' })).toMatch(/^Nothing is being/);
    for (let i = 0; i < 3; i++) {
      expect(await page.ask({ ask: 'record', seat: 0, do: 'begin' })).toBeNull();
      expect(await page.ask({ ask: 'record', seat: 0, do: 'end' })).toBeNull();
    }
    expect(readdirSync(host.takes)).toHaveLength(3);
    const blocked = await startHost();
    writeFileSync(blocked.takes, 'a file');
    const other = new FakePage(blocked.port);
    expect(await other.ask({ ask: 'record', seat: 0, do: 'begin' })).toMatch(
      /a file is where a folder/,
    );
    const room = { ...blocked.data.state.room, playing: false };
    blocked.hear({ type: 'state', part: 'room', now: room });
    expect(await other.ask({ ask: 'record', seat: 0, do: 'begin' })).toMatch(/The room has ended/);
  });
});
