import { mkdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { createConnection } from 'node:net';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { parseRules } from '../../../src/instrument/rules.js';
import { FakePage, get, json, PAGE, startHost } from './fake-host.js';

const TAKE = '{"take":1,"inputs":20,"full":16383,"seat":"north"}\n[1000,0,5]\n';

describe('the page', () => {
  it('is served with its types, for nobody else to hold or to guess at', async () => {
    const { port } = await startHost();
    const js = 'text/javascript; charset=utf-8';
    const types: Record<string, string> = {
      '/': 'text/html; charset=utf-8',
      '/page.js': js,
      '/page.css': 'text/css; charset=utf-8',
      '/sound/worklet.js': js,
      '/take/worker.js': js,
    };
    for (const [path, type] of Object.entries(types)) {
      const { status, headers } = await get(port, path);
      expect([status, headers['content-type']]).toEqual([200, type]);
      expect(headers['x-content-type-options']).toBe('nosniff');
      expect(headers['referrer-policy']).toBe('no-referrer');
      const policy = (headers['content-security-policy'] as string).split('; ');
      expect(policy).toEqual(
        expect.arrayContaining([
          ...["default-src 'none'", "script-src 'self'", "style-src 'self'", "connect-src 'self'"],
          ...["img-src 'self' data:", "worker-src 'self'", "font-src 'none'"],
          "frame-ancestors 'none'",
        ]),
      );
      expect(policy.join()).not.toMatch(/unsafe|\*/);
      expect(headers['access-control-allow-origin']).toBeUndefined();
    }
    expect((await get(port, '/?whatever=1')).body).toBe(PAGE);
  });

  it('is not sent twice while it stays as it is', async () => {
    const { port } = await startHost();
    const first = await get(port, '/page.js');
    const tag = first.headers.etag as string;
    expect(first.headers['cache-control']).toBe('no-cache');
    const again = await get(port, '/page.js', { 'if-none-match': `"x", ${tag}` });
    expect([again.status, again.body]).toEqual([304, '']);
    expect((await get(port, '/page.js', { 'if-none-match': '"x"' })).status).toBe(200);
    expect((await get(port, '/page.css')).headers.etag).not.toBe(tag);
  });

  it('has a head without a body, and takes nothing in', async () => {
    const { port } = await startHost();
    const head = await get(port, '/', {}, 'HEAD');
    expect([head.status, head.body, head.headers['content-length']]).toEqual([
      ...[200, ''],
      String(PAGE.length),
    ]);
    for (const method of ['POST', 'PUT', 'DELETE', 'OPTIONS', 'PATCH']) {
      const { status, headers } = await get(port, '/', {}, method);
      expect([status, headers.allow]).toEqual([405, 'GET, HEAD']);
    }
  });

  it('is refused in words where it is asked for by another computer’s name', async () => {
    const { port } = await startHost();
    for (const path of ['/', '/takes', '/page.js', '/rules/plain.json']) {
      const { status, body } = await get(port, path, { host: `rebound.example:${String(port)}` });
      expect(status).toBe(403);
      expect(body).toMatch(/127\.0\.0\.1/);
    }
    expect((await get(port, '/', { host: `localhost:${String(port)}` })).status).toBe(200);
  });
});

describe('nothing else', () => {
  it('can be read, by no trick with its path', async () => {
    const { port, folder, takes } = await startHost();
    mkdirSync(takes);
    writeFileSync(join(folder, 'secret.json'), '{"secret":1}');
    writeFileSync(join(takes, 'secret.txt'), 'secret');
    writeFileSync(join(takes, 'secret.jsonl'), '{"secret":1}\n');
    symlinkSync('/etc/passwd', join(takes, 'passwd.take.jsonl'));
    const up = ['../secret.json', '..%2fsecret.json', '%2e%2e/secret.json', '%2e%2e%2fsecret.json'];
    const more = ['..%5csecret.json', '....//secret.json', '%252e%252e%252fsecret.json'];
    const paths = [
      ...[
        '/page.js.map',
        '/sound/../page.js.map',
        '/sound',
        '/sound/',
        '/index.html/',
        '//page.js.map',
      ],
      ...[
        '/takes/secret.txt',
        '/takes/secret.jsonl',
        '/takes/passwd.take.jsonl',
        '/takes/',
        '/takes/a/b',
      ],
      ...['/takes/%00', '/takes/%', '/takes/%ff', '/constructor', '/__proto__', '/rules/%00.json'],
      ...[`${folder}/secret.json`, `/builds/${encodeURIComponent(join(folder, 'secret.json'))}`],
      ...['/builds/secret.json', '/rules/..json', '/rules/constructor.json', '/package.json'],
      ...[...up, ...more].flatMap((path) =>
        ['/', '/sound/', '/takes/', '/builds/', '/rules/', '/instruments/'].map((at) => at + path),
      ),
    ];
    for (const path of paths) {
      const { status, body } = await get(port, path);
      expect([path, status]).toEqual([path, 404]);
      expect(body).not.toContain('"secret":1');
      expect(Object.keys(JSON.parse(body) as object)).toEqual(['what', 'next']);
    }
  });

  it('comes of a request that is no such thing, and the next one is answered', async () => {
    const { port } = await startHost();
    const lines = [
      'GET',
      'GET / HTTP/9.9',
      'BREW / HTTP/1.1',
      `GET ${'/'.repeat(20_000)} HTTP/1.1`,
    ];
    for (const line of [...lines, 'GET http://elsewhere.example/ HTTP/1.1\r\nHost: localhost']) {
      const answer = await new Promise<string>((done) => {
        let text = '';
        const socket = createConnection(port, '127.0.0.1', () => socket.write(`${line}\r\n\r\n`));
        socket.on('data', (bytes) => {
          text += bytes.toString('latin1');
          socket.destroy();
        });
        socket.on('error', () => undefined);
        socket.on('close', () => done(text));
      });
      expect(answer).toMatch(/^HTTP\/1\.1 4\d\d /);
    }
    expect((await get(port, '/')).status).toBe(200);
  });
});

describe('takes', () => {
  it('are listed by what they hold, and given as they are', async () => {
    const { port, takes } = await startHost();
    expect(json(await get(port, '/takes'))).toEqual([]);
    const page = new FakePage(port);
    await page.greeted();
    mkdirSync(takes);
    const room = '{"take":1,"inputs":1,"full":1,"room":{"seats":[]}}\n';
    writeFileSync(join(takes, 'a b.take.jsonl'), TAKE);
    writeFileSync(join(takes, 'packed.take.jsonl.gz'), gzipSync(room));
    writeFileSync(join(takes, 'notes.jsonl'), '{"t":1}\n');
    writeFileSync(join(takes, 'empty.take.jsonl'), '');
    mkdirSync(join(takes, 'folder.take.jsonl'));
    const list = json(await get(port, '/takes')) as {
      name: string;
      room: boolean;
      bytes: number;
    }[];
    expect(list.map(({ name, room, bytes }) => [name, room, bytes]).sort()).toEqual([
      ['a b.take.jsonl', false, TAKE.length],
      ['packed.take.jsonl.gz', true, gzipSync(room).length],
    ]);
    // Whoever asked, every page is told.
    expect(await page.until(() => page.told.filter(({ told }) => told === 'takes')[1])).toEqual({
      told: 'takes',
      now: list,
    });
    const { status, body, headers } = await get(port, '/takes/a%20b.take.jsonl');
    expect([status, body, headers['content-length']]).toEqual([200, TAKE, String(TAKE.length)]);
    const packed = await get(port, '/takes/packed.take.jsonl.gz');
    expect(packed.headers['content-type']).toBe('application/gzip');
    expect(packed.headers['content-encoding']).toBeUndefined();
  });

  it('that have gone meanwhile are told of in words', async () => {
    const { port, takes, folder } = await startHost();
    mkdirSync(takes);
    writeFileSync(join(takes, 'x.take.jsonl'), TAKE);
    await get(port, '/takes');
    rmSync(join(takes, 'x.take.jsonl'));
    const reply = await get(port, '/takes/x.take.jsonl');
    expect(reply.status).toBe(422);
    expect(json(reply)).toMatchObject({ what: 'there is no such file' });
    expect(reply.body).not.toContain(folder);
  });
});

describe('files of a room', () => {
  it('are given by name, as they are read', async () => {
    const { port, folder } = await startHost();
    mkdirSync(join(folder, 'rules'));
    const text = 'touch: { lift: 31ms }\nstrings: { late-fret: never }\n';
    writeFileSync(join(folder, 'rules/own one.yaml'), text);
    const names = json(await get(port, '/rules')) as string[];
    expect(names).toContain('own one');
    const rules = await get(port, '/rules/own%20one.json');
    expect(json(rules)).toEqual(JSON.parse(JSON.stringify(parseRules(text, 'own one.yaml'))));
    expect(json(await get(port, '/instruments/bass-4x4.json'))).toMatchObject({ kind: 'strings' });
    expect((await get(port, '/builds')).status).toBe(200);
  });

  it('with a mistake in them are told of, with its line and fix', async () => {
    const { port, folder } = await startHost();
    mkdirSync(join(folder, 'rules'));
    writeFileSync(join(folder, 'rules/wrong.yaml'), 'touch:\n  on: 7 metres\n');
    const reply = await get(port, '/rules/wrong.json');
    expect(reply.status).toBe(422);
    const { what, next } = json(reply) as { what: string; next: string };
    expect(what).toMatch(/wrong\.yaml:2:.*touch\.on/);
    expect(next).not.toBe('');
  });
});

describe('open to the network', () => {
  it('takes the key out of the address and keeps it where no script reads it', async () => {
    const { port, links } = await startHost({ network: true });
    const link = new URL(links.find(({ guest }) => !guest)!.url);
    const { status, headers } = await get(port, link.pathname + link.search);
    expect([status, headers.location]).toEqual([303, '/']);
    const [cookie] = headers['set-cookie']!;
    expect(cookie).toMatch(/; HttpOnly; SameSite=Strict$/);
    const own = { cookie: cookie!.split(';')[0]! };
    expect((await get(port, '/takes', own)).status).toBe(200);
    expect((await get(port, '/takes', { ...own, host: 'laptop.example:1' })).status).toBe(200);
  });

  it('gives nothing but the bare page without a good key', async () => {
    const { port } = await startHost({ network: true });
    expect((await get(port, '/')).status).toBe(200);
    for (const cookie of [
      '',
      `pluckwork-${String(port)}=`,
      `pluckwork-${String(port)}=${'A'.repeat(43)}`,
    ]) {
      for (const path of ['/takes', '/rules', '/rules/plain.json', '/takes/x', '/what']) {
        expect((await get(port, path, { cookie })).status).toBe(401);
      }
    }
    const wrong = await get(port, '/?key=AAAA');
    expect([wrong.status, wrong.headers['set-cookie']]).toEqual([401, undefined]);
    expect(wrong.body).toMatch(/link/);
  });

  it('has links for guests too, with another key', async () => {
    const { links } = await startHost({ network: true });
    const keyOf = (guest: boolean): Set<string | null> =>
      new Set(
        links
          .filter((one) => one.guest === guest)
          .map(({ url }) => new URL(url).searchParams.get('key')),
      );
    expect(keyOf(true).size).toBe(1);
    expect(keyOf(false).size).toBe(1);
    expect([...keyOf(true)]).not.toEqual([...keyOf(false)]);
  });
});

it('takes another port where the wanted one is taken', async () => {
  const first = await startHost();
  const second = await startHost({ port: first.port });
  expect(second.port).not.toBe(first.port);
  expect(second.links).toEqual([{ url: `http://127.0.0.1:${String(second.port)}/`, guest: false }]);
  expect((await get(second.port, '/')).status).toBe(200);
});
