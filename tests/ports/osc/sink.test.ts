import { describe, expect, it, afterEach } from 'vitest';
import type { lookup } from 'node:dns';
import { oscSink, type OscSinkOptions } from '../../../src/ports/osc/sink.js';
import { hurried, listener, otherSide } from './hands.js';

const open: { close: () => Promise<void> }[] = [];
afterEach(async () => {
  for (const one of open.splice(0)) await one.close();
});

function start(port: number, more: Partial<OscSinkOptions> = {}) {
  const heard = listener();
  const sink = oscSink({ host: '127.0.0.1', port, tell: heard.tell, timers: hurried, ...more });
  open.push(sink);
  return { ...heard, sink };
}

const packet = (n: number): Buffer => Buffer.from(`/n${String(n)}\0,\0\0\0`);

describe('an OSC receiver', () => {
  it('gets each packet as it is', async () => {
    const receiver = await otherSide();
    open.push(receiver);
    const { sink } = start(receiver.port);
    for (let i = 1; i <= 3; i++) {
      sink.send(packet(i));
      expect(await receiver.next()).toEqual(packet(i));
    }
  });

  it('gets all that was sent before closing, and nothing after', async () => {
    const receiver = await otherSide();
    open.push(receiver);
    const { sink } = start(receiver.port);
    for (let i = 1; i <= 9; i++) sink.send(packet(i));
    await sink.close();
    sink.send(packet(0));
    for (let i = 1; i <= 9; i++) expect(await receiver.next()).toEqual(packet(i));
  });

  it('that is not running is told once, and found when it starts', async () => {
    const away = await otherSide();
    await away.close();
    const { sink, notices, waitFor } = start(away.port);
    const told = await waitFor(/Nothing listens at 127.0.0.1/);
    expect(told).toMatchObject({ level: 'warn', where: `OSC 127.0.0.1:${String(away.port)}` });
    for (let i = 0; i < 100; i++) sink.send(packet(0));
    const receiver = await otherSide(away.port);
    open.push(receiver);
    await waitFor(/listens now/);
    expect(notices).toHaveLength(2);
    sink.send(packet(5));
    expect(await receiver.next()).toEqual(packet(5));
  });

  it('by name is looked up once, and again later when that failed', async () => {
    const receiver = await otherSide();
    open.push(receiver);
    const asked: string[] = [];
    const resolve = ((name: string, _options: object, found: (...given: unknown[]) => void) => {
      asked.push(name);
      const missing = Object.assign(new Error('none'), { code: 'ENOTFOUND' });
      if (asked.length === 1) found(missing);
      else found(null, '127.0.0.1', 4);
    }) as unknown as typeof lookup;
    const { sink, waitFor } = start(receiver.port, { host: 'synth', resolve });
    sink.send(packet(1));
    expect((await waitFor(/do not get out \(ENOTFOUND\)/)).next).toContain('Check the name');
    while (asked.length < 2) await new Promise(setImmediate);
    for (let i = 2; i < 5; i++) {
      sink.send(packet(i));
      expect(await receiver.next()).toEqual(packet(i));
    }
    expect(asked).toEqual(['synth', 'synth']);
  });

  it('that cannot be reached is told once, and again when it can; sending never throws', async () => {
    const receiver = await otherSide();
    open.push(receiver);
    let now = 0;
    const timers = { ...hurried, now: () => now };
    const { sink, notices, waitFor } = start(receiver.port, { timers });
    // More than a datagram can hold, so that the system refuses it as it would without a network.
    for (let i = 0; i < 5; i++) sink.send(Buffer.alloc(70_000));
    await waitFor(/do not get out \(EMSGSIZE\)/);
    now = 5_000;
    sink.send(packet(1));
    expect(await receiver.next()).toEqual(packet(1));
    await waitFor(/get out again/);
    expect(notices).toHaveLength(2);
  });
});
