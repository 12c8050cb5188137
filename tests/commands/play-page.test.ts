import { get } from 'node:http';
import { createServer } from 'node:net';
import { once } from 'node:events';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Call } from '../../src/commands/cli.js';
import { openBrowser, PAGE_PORT, pageWish, tellLinks } from '../../src/commands/play/page.js';
import type { Notice } from '../../src/ports/contracts.js';
import { endPrograms, start, workFolder } from './program.js';

const call = (values: Call['values']): Call => ({
  values,
  words: [],
  say: () => undefined,
  tell: () => undefined,
  watched: false,
});

describe('what is asked for of the page', () => {
  it('is the usual port, another, any, or no page', () => {
    const plain = { network: false, open: false };
    expect(pageWish(call({}))).toEqual({ port: PAGE_PORT, ...plain });
    expect(pageWish(call({ page: '9000', network: true }))).toEqual({
      ...plain,
      port: 9_000,
      network: true,
    });
    expect(pageWish(call({ page: '0', open: true }))).toEqual({ ...plain, port: 0, open: true });
    expect(pageWish(call({ page: 'off' }))).toBeNull();
  });

  it('is refused in words where it makes no sense', () => {
    for (const page of ['65536', '-1', '80.5', 'on', '']) {
      expect(() => pageWish(call({ page }))).toThrow(/--page takes a port/);
    }
    expect(() => pageWish(call({ page: 'off', network: true }))).toThrow(/--network has no page/);
    expect(() => pageWish(call({ page: 'off', open: true }))).toThrow(/--open has no page/);
  });
});

describe('the links of the page', () => {
  const own = { url: 'http://127.0.0.1:8480/?key=a', guest: false };
  const far = { url: 'http://192.0.2.7:8480/?key=a', guest: false };
  const guests = { url: 'http://192.0.2.7:8480/?key=b', guest: true };
  const guestsHere = { url: 'http://127.0.0.1:8480/?key=b', guest: true };

  function hearing(open: boolean) {
    const told: Notice[] = [];
    const shown: string[] = [];
    const tell = tellLinks(
      { port: 8480, network: true, open },
      (notice) => told.push(notice),
      (url, failed) => {
        shown.push(url);
        failed();
      },
    );
    return { told, shown, tell };
  }

  it('are told once each, with who may do what by it', () => {
    const { told, shown, tell } = hearing(false);
    tell([own, far, guestsHere, guests]);
    tell([own, far, guestsHere, guests]);
    expect(told.map(({ what, where }) => [what, where])).toEqual([
      ['Page', own.url],
      ['Page', far.url],
      ['Page for guests', guests.url],
    ]);
    expect(told[0]?.next).toMatch(/may change everything/);
    expect(told[2]?.next).toMatch(/changes nothing/);
    expect(shown).toEqual([]);
    tell([{ ...own, url: 'http://127.0.0.1:9000/?key=c' }]);
    expect(told.slice(3).map(({ what }) => what)).toEqual([
      'Port 8480 is in use by another program, so the page is at port 9000',
      'Page',
    ]);
  });

  it('are opened once where that is asked for, and where it fails that is said', () => {
    const { told, shown, tell } = hearing(true);
    tell([own]);
    tell([own]);
    expect(shown).toEqual([own.url]);
    expect(told.at(-1)).toMatchObject({ level: 'warn', next: `Open ${own.url} yourself` });
  });

  it('are opened by a command, whose failing is no failure of ours', async () => {
    const path = process.env.PATH;
    process.env.PATH = '/nowhere';
    try {
      await new Promise<void>((failed) => openBrowser(own.url, failed));
    } finally {
      process.env.PATH = path;
    }
  });
});

describe('a room that plays', () => {
  let work: ReturnType<typeof workFolder>;
  beforeEach(() => {
    work = workFolder();
    work.write(
      'rooms/quiet.yaml',
      `seats: [{ name: north, instrument: bass-4x4, from: { player: demo } }]
to: [{ osc: { host: 127.0.0.1, port: 9 } }]
`,
    );
  });
  afterEach(() => {
    endPrograms();
    work.remove();
  });

  const LINK = /Page \((http:\/\/127\.0\.0\.1:(\d+)\/)\)/;

  async function page(url: string): Promise<number | undefined> {
    const [response] = (await once(get(url), 'response')) as [
      { statusCode?: number; resume(): void },
    ];
    response.resume();
    return response.statusCode;
  }

  it('serves its page, takes another port where it is in use, and ends with 0 and the page', async () => {
    const holder = createServer().listen(0, '127.0.0.1');
    await once(holder, 'listening');
    const { port } = holder.address() as { port: number };
    const args = ['play', 'quiet', '--quiet', '--page', String(port)];
    const program = start(args, work.path);
    await program.saw(LINK);
    const [, url = '', served] = LINK.exec(program.err)!;
    expect(Number(served)).not.toBe(port);
    expect(await page(url)).toBe(200);
    program.signal('SIGINT');
    const { code, out } = await program.ended;
    expect([code, out]).toEqual([0, '']);
    await expect(page(url)).rejects.toThrow(/ECONNREFUSED/);
    holder.close();
  });

  it('serves none with --page off, and tells links as JSON lines too', async () => {
    const off = start(['play', 'quiet', '--quiet', '--page', 'off'], work.path);
    await off.saw(/Playing/);
    off.signal('SIGINT');
    expect((await off.ended).err).not.toMatch(/Page/);
    const json = start(['play', 'quiet', '--quiet', '--page', '0', '--log', 'json'], work.path);
    await json.saw(/"msg":"Page"/);
    const line = json.err.split('\n').find((one) => one.includes('"msg":"Page"'))!;
    expect((JSON.parse(line) as Notice).where).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/$/);
    json.signal('SIGINT');
    expect((await json.ended).code).toBe(0);
  });
});
