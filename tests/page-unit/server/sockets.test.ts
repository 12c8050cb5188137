import { describe, expect, it } from 'vitest';
import { CLOSING } from '../../../src/page/link/closing.js';
import { eventually, FakePage, get, startHost, type Host } from './fake-host.js';

/** The cookie that a link of the room's gives. */
async function cookieOf(host: Host, guest: boolean): Promise<string> {
  const { pathname, search } = new URL(host.links.find((one) => one.guest === guest)!.url);
  const { headers } = await get(host.port, pathname + search);
  return headers['set-cookie']![0]!.split(';')[0]!;
}

describe('a page', () => {
  it('is told hello, then all of the state, and that somebody looks', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    await page.greeted();
    expect(page.told.slice(0, 8)).toEqual([
      { told: 'hello', guest: false, version: '1.2.3', seed: 7 },
      { told: 'room', now: host.data.state.room },
      { told: 'seats', now: host.data.state.seats },
      { told: 'engines', now: [] },
      { told: 'notices', now: [] },
      { told: 'guide', now: null },
      { told: 'recording', now: null },
      { told: 'takes', now: [] },
    ]);
    expect(host.orders).toEqual([{ ask: 'look', on: true }]);
    page.socket.close();
    await eventually(() => host.orders.length === 2);
    expect(host.orders[1]).toEqual({ ask: 'look', on: false });
  });

  it('is told a part again when it changes, and not the others', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    await page.greeted();
    await page.until(() => page.last('layout'));
    const before = page.told.length;
    const notices = [{ number: 1, at: 5, level: 'info' as const, what: 'Heard' }];
    host.hear({ type: 'state', part: 'notices', now: notices });
    await page.until(() => page.told.length > before);
    // Parts are told between frames: after some more of them another one would be there.
    const frames = page.frames.length;
    await page.until(() => page.frames.length > frames + 5);
    expect(page.told.slice(before)).toEqual([{ told: 'notices', now: notices }]);
  });

  it('hears whether what it asked was done, and why not', async () => {
    const host = await startHost({
      answer: (order) => (order.ask === 'rules' ? 'There are no such rules. Choose others.' : null),
    });
    const page = new FakePage(host.port);
    expect(await page.ask({ ask: 'seat', seat: 1, level: 0.5 })).toBeNull();
    expect(await page.ask({ ask: 'rules', seat: 0, name: 'x' })).toMatch(/no such rules/);
    expect(await page.ask({ ask: 'silence' })).toBeNull();
    expect(host.orders.slice(1)).toEqual([
      { ask: 'seat', seat: 1, level: 0.5 },
      { ask: 'rules', seat: 0, name: 'x' },
      { ask: 'silence' },
    ]);
  });

  it.each([
    { ask: 'seat', seat: 2, level: 0.5 },
    { ask: 'press', seat: 200, pad: 1, strength: 1 },
    { ask: 'watch', seat: 2 },
  ])('is refused what is of no seat of the room: $ask', async (ask) => {
    const host = await startHost();
    const page = new FakePage(host.port);
    expect(await page.ask(ask)).toMatch(/has left the room/);
    expect(host.orders).toEqual([{ ask: 'look', on: true }]);
  });

  it.each([
    { ask: 'seat', seat: 0, level: 2 },
    { ask: 'seat', seat: 0, level: 1, more: 1 },
    { ask: 'look', on: false },
    { ask: 'build', seat: 0, build: { wiring: [], pads: [] }, name: '../../x' },
    { ask: 'hold', seat: 0, on: true },
    { ask: 'readings', seats: [0] },
    { ask: 'keep', seat: 0, name: '../x' },
    { ask: 'press', seat: 0, pad: 1.5, strength: 1 },
    {},
    null,
  ])('is refused what is not known: %j', async (ask) => {
    const host = await startHost();
    const page = new FakePage(host.port);
    expect(await page.ask(ask as Record<string, unknown>)).toMatch(/not known/);
    expect(host.orders).toEqual([{ ask: 'look', on: true }]);
  });

  it.each(['', 'x', '[]', '{"id":-1}', '{"id":"1","ask":{"ask":"silence"}}', Buffer.of(1, 2)])(
    'that cannot be understood is closed with a reason: %j',
    async (said) => {
      const host = await startHost();
      const page = new FakePage(host.port);
      await page.greeted();
      page.socket.send(said);
      const { code, reason } = await page.until(() => page.closed);
      expect([code, reason]).toEqual([1008, 'What this page says cannot be read. Load it again.']);
      expect(host.orders.map(({ ask }) => ask)).not.toContain('silence');
    },
  );

  it('that says something far too long is closed', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    await page.greeted();
    page.socket.send('x'.repeat(70_000));
    // 1009: "too big to process" (RFC 6455, section 7.4.1).
    expect((await page.until(() => page.closed)).code).toBe(1009);
  });

  it('that goes away lets go of all it held, but for what another one holds', async () => {
    const host = await startHost();
    const [one, two] = [new FakePage(host.port), new FakePage(host.port)];
    await one.ask({ ask: 'press', seat: 0, pad: 3, strength: 0.5 });
    await one.ask({ ask: 'press', seat: 1, pad: 4, strength: 0.5 });
    await two.ask({ ask: 'press', seat: 1, pad: 4, strength: 0.7 });
    // What it does not hold, it cannot let go of.
    expect(await two.ask({ ask: 'release', seat: 0, pad: 3 })).toBeNull();
    const releases = (): unknown[] => host.orders.filter(({ ask }) => ask === 'release');
    expect(releases()).toEqual([]);
    one.socket.terminate();
    await eventually(() => releases().length > 0);
    expect(releases()).toEqual([{ ask: 'release', seat: 0, pad: 3 }]);
    await two.ask({ ask: 'release', seat: 1, pad: 4 });
    expect(releases()).toHaveLength(2);
  });
});

describe('a connection', () => {
  it.each([
    { origin: 'http://elsewhere.example' },
    { origin: 'null' },
    { origin: 'http://127.0.0.1:1' },
    { host: 'rebound.example', origin: 'http://rebound.example' },
  ])('is not made for a page from elsewhere: %j', async (headers) => {
    const host = await startHost();
    const page = new FakePage(host.port, headers);
    expect(await page.until(() => page.status)).toBe(403);
    expect(host.orders).toEqual([]);
  });

  it('is not made without an origin, nor at another path', async () => {
    const host = await startHost();
    const none = { 'sec-websocket-version': '13', 'sec-websocket-key': 'AAAAAAAAAAAAAAAAAAAAAA==' };
    const reply = await get(host.port, '/link', {
      connection: 'upgrade',
      upgrade: 'websocket',
      ...none,
    });
    expect(reply.status).toBe(403);
    const page = new FakePage(host.port, {}, '/other');
    expect(await page.until(() => page.status)).toBe(403);
  });

  it('more than are served are closed with a reason, and taken when one has gone', async () => {
    const host = await startHost({ limits: { pages: 2 } });
    const pages = [new FakePage(host.port), new FakePage(host.port)];
    for (const page of pages) await page.greeted();
    const third = new FakePage(host.port);
    expect((await third.until(() => third.closed)).code).toBe(CLOSING.full);
    expect(third.told).toEqual([]);
    pages[0]!.socket.close();
    await pages[0]!.until(() => pages[0]!.closed);
    await new FakePage(host.port).greeted();
  });

  it('ends with the room, with a reason', async () => {
    const host = await startHost();
    const page = new FakePage(host.port);
    await page.greeted();
    // Told at the very end, and more often than is due: else a page would take it for a lost link.
    const { room } = host.data.state;
    for (const playing of [true, false]) {
      host.hear({ type: 'state', part: 'room', now: { ...room, playing } });
    }
    await host.close();
    expect(await page.until(() => page.closed)).toEqual({
      code: CLOSING.over,
      reason: 'The room has ended.',
    });
    expect(page.last('room')?.now.playing).toBe(false);
    await expect(get(host.port, '/')).rejects.toThrow(/ECONNREFUSED/);
  });
});

describe('open to the network', () => {
  it('lets nobody in without a good key, and says so', async () => {
    const host = await startHost({ network: true });
    for (const cookie of ['', `pluckwork-${String(host.port)}=${'A'.repeat(43)}`]) {
      const page = new FakePage(host.port, { cookie });
      const { code, reason } = await page.until(() => page.closed);
      expect(code).toBe(CLOSING.key);
      expect(reason).toMatch(/key/);
      expect([page.told, page.frames]).toEqual([[], []]);
    }
    expect(host.orders).toEqual([]);
  });

  it('lets those with the key do all, under whatever name it was asked for', async () => {
    const host = await startHost({ network: true });
    const cookie = await cookieOf(host, false);
    const name = `laptop.example:${String(host.port)}`;
    const page = new FakePage(host.port, { cookie, host: name, origin: `http://${name}` });
    expect((await page.greeted()).guest).toBe(false);
    expect(await page.ask({ ask: 'silence' })).toBeNull();
    const foreign = new FakePage(host.port, { cookie, origin: 'http://elsewhere.example' });
    expect(await foreign.until(() => foreign.status)).toBe(403);
  });

  it('lets guests look, and refuses everything else in words', async () => {
    const host = await startHost({ network: true });
    const page = new FakePage(host.port, { cookie: await cookieOf(host, true) });
    expect((await page.greeted()).guest).toBe(true);
    expect(await page.ask({ ask: 'watch', seat: 1 })).toBeNull();
    expect(await page.ask({ ask: 'voices', on: true })).toBeNull();
    for (const ask of [
      { ask: 'silence' },
      { ask: 'seat', seat: 0, mute: true },
      { ask: 'room', duck: 3 },
      { ask: 'engine', engine: 0, on: false },
      { ask: 'press', seat: 0, pad: 0, strength: 1 },
      { ask: 'release', seat: 0, pad: 0 },
      { ask: 'plug', seat: 0, plugged: false },
      { ask: 'guide', seat: 0, guide: 'wire', do: 'begin' },
      { ask: 'record', seat: null, do: 'begin' },
      { ask: 'rules', seat: 0, name: 'plain' },
      { ask: 'try', seat: 0, values: {} },
      { ask: 'undo-tried', seat: 0 },
      { ask: 'keep', seat: 0, name: 'mine' },
    ]) {
      expect(await page.ask(ask)).toMatch(/^Guests may look/);
    }
    expect(host.orders).toEqual([{ ask: 'look', on: true }]);
  });
});

describe('a flood', () => {
  it('is answered with refusals, then closed with a reason; others notice nothing', async () => {
    const host = await startHost({
      limits: {
        asks: { perSecond: 0.001, burst: 20 },
        refusals: { perSecond: 0.001, burst: 10 },
      },
    });
    const other = new FakePage(host.port);
    await other.ask({ ask: 'press', seat: 0, pad: 1, strength: 1 });
    const page = new FakePage(host.port);
    await page.greeted();
    for (let id = 0; id < 5_000; id++) {
      const ask = { ask: 'press', seat: 1, pad: id % 20, strength: 0.5 };
      page.socket.send(JSON.stringify({ id, ask }));
    }
    const { code, reason } = await page.until(() => page.closed);
    expect([code, reason]).toEqual([CLOSING.flood, expect.stringMatching(/far too much/)]);
    const answers = page.told.filter((one) => one.told === 'answer');
    expect(answers.filter(({ refused }) => refused !== null)).toHaveLength(10);
    // All that it pressed is let go of, and what the other page holds is not.
    const ofPage = host.orders.filter((one) => 'seat' in one && one.seat === 1);
    expect(ofPage.filter(({ ask }) => ask === 'press')).toHaveLength(20);
    expect(ofPage.filter(({ ask }) => ask === 'release')).toHaveLength(20);
    expect(await other.ask({ ask: 'release', seat: 0, pad: 1 })).toBeNull();
  });

  it('of many pages together is held back, but for what ends something', async () => {
    const host = await startHost({ limits: { allAsks: { perSecond: 0.001, burst: 2 } } });
    const [one, two] = [new FakePage(host.port), new FakePage(host.port)];
    const ask = { ask: 'press', seat: 0, pad: 1, strength: 1 };
    expect([await one.ask(ask), await two.ask(ask)]).toEqual([null, null]);
    expect(await one.ask(ask)).toMatch(/too much at once/);
    for (const page of [one, two]) {
      expect(await page.ask({ ask: 'release', seat: 0, pad: 1 })).toBeNull();
    }
    expect(await two.ask({ ask: 'silence' })).toBeNull();
    expect(host.orders.slice(-2)).toEqual([
      { ask: 'release', seat: 0, pad: 1 },
      { ask: 'silence' },
    ]);
  });

  it('of guests does not use up what the others may ask for', async () => {
    const host = await startHost({
      network: true,
      limits: {
        allAsks: { perSecond: 0.001, burst: 1 },
        guestAsks: { perSecond: 0.001, burst: 3 },
      },
    });
    const guest = new FakePage(host.port, { cookie: await cookieOf(host, true) });
    for (let i = 0; i < 3; i++) expect(await guest.ask({ ask: 'watch', seat: 0 })).toBeNull();
    expect(await guest.ask({ ask: 'watch', seat: 0 })).toMatch(/too much/);
    const page = new FakePage(host.port, { cookie: await cookieOf(host, false) });
    expect(await page.ask({ ask: 'seat', seat: 0, level: 1 })).toBeNull();
  });
});

describe('a page that does not read', () => {
  it('gets the latest state when it reads again, and not all that was before', async () => {
    const host = await startHost({ limits: { pingMs: 20, lateMs: 60 } });
    const page = new FakePage(host.port);
    const other = new FakePage(host.port);
    await page.greeted();
    await other.greeted();
    page.socket.pause();
    const room = host.data.state.room;
    const sent = (duck: number): boolean => other.last('room')?.now.duck === duck;
    const rulesNames = [`${'x'.repeat(20_000)}`];
    for (let duck = 0; duck < 12; duck++) {
      host.hear({ type: 'state', part: 'room', now: { ...room, duck, rulesNames } });
      await other.until(() => sent(duck));
    }
    // The network holds all of it for a while, so that only its answers tell that it does not read.
    const heard = other.told.filter(({ told }) => told === 'room').length;
    page.socket.resume();
    await page.until(() => page.last('room')?.now.duck === 11);
    const late = page.told.filter(({ told }) => told === 'room').length;
    expect(heard).toBe(13);
    expect(late).toBeLessThan(heard);
    expect(page.closed).toBeNull();
  });

  it('for some seconds holds nothing down any more, but stays open and may play on', async () => {
    const host = await startHost({ limits: { pingMs: 20, lateMs: 50, lostMs: 100 } });
    const [page, other] = [new FakePage(host.port), new FakePage(host.port)];
    await page.ask({ ask: 'press', seat: 0, pad: 1, strength: 1 });
    await other.ask({ ask: 'press', seat: 0, pad: 2, strength: 1 });
    page.socket.pause();
    await eventually(() => host.orders.some(({ ask }) => ask === 'release'));
    page.socket.resume();
    expect(await page.ask({ ask: 'press', seat: 0, pad: 3, strength: 1 })).toBeNull();
    expect(page.closed).toBeNull();
    const released = host.orders.filter(({ ask }) => ask === 'release');
    expect(released).toEqual([{ ask: 'release', seat: 0, pad: 1 }]);
  });

  it('for long is closed, and the others are served on', async () => {
    const host = await startHost({ limits: { pingMs: 20, lateMs: 500, slowMs: 1_000 } });
    const page = new FakePage(host.port);
    const other = new FakePage(host.port);
    await page.ask({ ask: 'press', seat: 0, pad: 1, strength: 1 });
    await other.greeted();
    page.socket.pause();
    await eventually(() => host.orders.some(({ ask }) => ask === 'release'));
    page.socket.resume();
    expect((await page.until(() => page.closed)).code).toBe(CLOSING.slow);
    expect(await other.ask({ ask: 'silence' })).toBeNull();
  });
});
