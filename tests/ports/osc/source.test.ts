import { encode, Message, Bundle } from 'node-osc';
import { filter, firstValueFrom, take, toArray } from 'rxjs';
import { afterEach, describe, expect, it } from 'vitest';
import { networkBudget } from '../../../src/ports/osc/network-budget.js';
import { oscSource, type OscSource, type OscSourceOptions } from '../../../src/ports/osc/source.js';
import type { Clock } from '../../../src/time/clock.js';
import { hurried, listener, otherSide } from './hands.js';

const seats = new Map([
  ['north', { seat: 0, full: 16_383 }],
  ['south', { seat: 2, full: 1_023 }],
]);
const open: { close: () => Promise<void> }[] = [];
afterEach(async () => {
  for (const one of open.splice(0)) await one.close();
});

/** A clock that only the test moves, and that counts how often it was read. */
function handClock(): Clock & { t: number; read: number } {
  const clock = {
    t: 1_000,
    read: 0,
    stamp: () => (clock.read++, clock.t),
    alarm: () => () => undefined,
  };
  return clock;
}

async function start(more: Partial<OscSourceOptions> = {}) {
  const heard = listener();
  const clock = handClock();
  const source = oscSource({
    port: 0,
    host: '127.0.0.1',
    seats,
    clock,
    tell: heard.tell,
    timers: hurried,
    ...more,
  });
  open.push(source);
  const board = await otherSide();
  open.push(board);
  /** Sends as node-osc 11.7.1 writes OSC, and waits until the system has taken it. */
  const send = (port: number, packet: Buffer): Promise<void> =>
    new Promise((done) => {
      board.socket.send(packet, port, '127.0.0.1', () => {
        done();
      });
    });
  return { ...heard, clock, source, board, send };
}

const pad = (...args: (string | number)[]): Buffer => encode(new Message('/pad', ...args));
const next = (source: OscSource, count: number) =>
  firstValueFrom(source.events.pipe(take(count), toArray()));

describe('raw pads over OSC', () => {
  it('of a sender that sends too much are dropped, and its seats are ended, and no others', async () => {
    const heard = listener();
    const few = { perSecond: 1, burst: 3 };
    const budget = networkBudget({
      tell: heard.tell,
      timers: { now: () => 0 },
      plan: { one: few, own: few, shared: few },
    });
    const { source, send } = await start({ budget });
    const port = await source.opened;
    const events = next(source, 4);
    for (let n = 0; n < 6; n++) await send(port, pad('south', 1, n));
    const told = await events;
    expect(told.map(({ seat, event }) => [seat, event.type])).toEqual([
      ...[0, 1, 2].map(() => [2, 'scan']),
      [2, 'reset'],
    ]);
    expect(told[3]!.event).toMatchObject({ why: 'overflow' });
    const { what } = await heard.waitFor(/sends more than/);
    expect(what).toContain('127.0.0.1');
  });

  it('become scans of the seat that the board names, stamped once a packet', async () => {
    const { source, send, clock } = await start();
    const port = await source.opened;
    const events = next(source, 3);
    clock.t = 5_000;
    clock.read = 0;
    await send(port, pad('north', 16, 1180));
    const both = new Bundle(['/pads', 'south', 4, 7, 8, 9], ['/pad', 'north', 0, 16_383]);
    await send(port, encode(both));
    const scan = (seat: number, inputs: number[], raws: number[]) => ({
      type: 'seated',
      t: 5_000,
      seat,
      event: { type: 'scan', t: 5_000, inputs, raws },
    });
    expect(await events).toEqual([
      scan(0, [16], [1180]),
      scan(2, [4, 5, 6], [7, 8, 9]),
      scan(0, [0], [16_383]),
    ]);
    expect(clock.read).toBe(2);
  });

  it('of a seat that is not here are told once a name, with the name that was meant', async () => {
    const { source, send, notices, waitFor } = await start();
    const port = await source.opened;
    for (const name of ['nroth', 'nroth', 'attic']) await send(port, pad(name, 1, 1));
    await waitFor(/attic/);
    const unknown = notices.filter(({ what }) => what.includes('calls itself'));
    expect(unknown.map(({ what }) => /"(\w+)"/.exec(what)![1])).toEqual(['nroth', 'attic']);
    expect(unknown[0]!.next).toContain('Did you mean "north"?');
    expect(source.counts).toEqual({ malformed: 0, unknown: 3, dropped: 0 });
  });

  it('of ever new names are not told for ever', async () => {
    const { source, send, notices, waitFor } = await start();
    const port = await source.opened;
    for (let i = 0; i < 40; i++) await send(port, pad(`ghost ${String(i)}`, 1, 1));
    const last = next(source, 1);
    await send(port, pad('north', 1, 1));
    await last;
    await waitFor(/keep coming/);
    expect(notices.filter(({ level }) => level === 'warn')).toHaveLength(21);
    expect(source.counts.unknown).toBe(40);
  });

  it('that cannot be read are counted, and told every five seconds at most', async () => {
    const { source, send, notices, clock } = await start();
    const port = await source.opened;
    const bad = [pad('north', 1, -3), Buffer.from('/pad'), pad('south', -1, 0), Buffer.alloc(0)];
    for (const packet of bad) await send(port, packet);
    const come = next(source, 1);
    await send(port, pad('north', 1, 1));
    await come;
    clock.t += 5_000_000;
    const done = next(source, 1);
    await send(port, pad('north', 1));
    await send(port, pad('north', 1, 1));
    await done;
    const told = notices.filter(({ what }) => what.includes('no pad reading'));
    expect(told.map(({ what }) => what.split(' ')[0])).toEqual(['A', '4']);
    expect(told[0]!.what).toContain('from 127.0.0.1: /pad: seat "north", input 1: -3');
    expect(source.counts.malformed).toBe(5);
  });

  it('above the full scale of a seat are told once, with what to write in the room file', async () => {
    const { source, send, notices, waitFor } = await start();
    const port = await source.opened;
    for (const raw of [20_000, 30_000]) await send(port, pad('north', 1, raw));
    const { what, next: todo, where } = await waitFor(/full scale/);
    expect(what).toContain("above the seat's full scale of 16383, such as 20000 from input 1");
    expect(where).toBe('seat north');
    expect(todo).toContain('"full: 65535" for 16 bits');
    const done = next(source, 1);
    await send(port, pad('north', 1, 1));
    await done;
    expect(notices.filter(({ what: said }) => said.includes('full scale'))).toHaveLength(1);
    expect(source.counts.malformed).toBe(2);
  });

  it('are shown without their control characters', async () => {
    const { source, send, waitFor } = await start();
    await send(await source.opened, pad('\u001b[2Jx', 1, 1));
    expect((await waitFor(/calls itself/)).what).toContain('"?[2Jx"');
  });
});

describe('a port', () => {
  it('in use is told with its holder, and taken as soon as it is free', async () => {
    const holder = await otherSide();
    const { source, send, notices, waitFor } = await start({ port: holder.port });
    const told = await waitFor(/in use/);
    expect(told.level).toBe('error');
    if (process.platform === 'linux') expect(told.what).toContain(`process ${String(process.pid)}`);
    expect(told.next).toContain('tried again');
    await holder.close();
    await waitFor(/Listening for boards again/);
    expect(notices.filter(({ level }) => level === 'error')).toHaveLength(1);
    const event = next(source, 1);
    await send(holder.port, pad('south', 0, 1));
    expect((await event)[0]).toMatchObject({ seat: 2 });
  });

  it('whose address this computer has not is told', async () => {
    // 192.0.2.0/24 is kept for documentation (RFC 5737).
    const { waitFor } = await start({ host: '192.0.2.1' });
    expect((await waitFor(/cannot be used/)).next).toContain('192.0.2.1');
  });

  it('tells where boards find it', async () => {
    const { source, waitFor } = await start({ host: '0.0.0.0' });
    const port = await source.opened;
    const told = await waitFor(/Listening/);
    expect([told.what, told.where]).toEqual(['Listening for boards', `UDP port ${String(port)}`]);
    expect(told.next).toMatch(/^(Let the boards send to \d|This computer is in no network)/);
  });

  it('that is closed ends what each seat holds, completes, and is free again', async () => {
    const { source } = await start();
    const port = await source.opened;
    const all = firstValueFrom(source.events.pipe(toArray()));
    await source.close();
    expect((await all).map(({ seat, event }) => [seat, event])).toEqual(
      [0, 2].map((seat) => [seat, { type: 'reset', t: 1_000, why: 'end' }]),
    );
    open.push(await otherSide(port));
  });

  it.runIf(process.platform === 'linux')(
    'that overflowed ends what each seat holds, and says how much was lost',
    async () => {
      const { source, board, waitFor } = await start();
      const port = await source.opened;
      const resets = firstValueFrom(
        source.events.pipe(
          filter(({ event }) => event.type === 'reset'),
          take(2),
          toArray(),
        ),
      );
      // This thread is busy sending and reads nothing meanwhile.
      const packet = pad('north', 1, 1);
      for (let i = 0; i < 10_000; i++) board.socket.send(packet, port, '127.0.0.1');
      expect((await resets).map(({ seat, event }) => [seat, event])).toEqual(
        [0, 2].map((seat) => [seat, { type: 'reset', t: 1_000, why: 'overflow' }]),
      );
      const told = await waitFor(/are lost/);
      expect(Number.parseInt(told.what)).toBeGreaterThan(0);
      expect(source.counts.dropped).toBeGreaterThanOrEqual(Number.parseInt(told.what));
    },
  );
});
