import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it, onTestFinished } from 'vitest';
import { startHost } from '../../page-unit/server/fake-host.js';
import { launch } from '../support/browser.js';
import { soon } from '../support/soon.js';

/*
 * What the rules of browsers make of the links, keys and headers: the cookie of a link that was opened
 * from another site, pages of others that try to connect or to embed, and the content security policy.
 */

/** Writes down what it was told first, or how its connection was closed. */
const SCRIPT = `
const said = document.getElementById('said');
const socket = new WebSocket(new URL('link', location.href).href.replace('http', 'ws'));
socket.onmessage = ({ data }) => {
  if (typeof data === 'string' && said.textContent === '') said.textContent = data;
};
socket.onclose = ({ code }) => { said.textContent ||= 'closed ' + code; };
`;

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

/** A site of somebody else: another origin, and for cookies another site, than 127.0.0.1. */
async function elsewhere(html: string): Promise<string> {
  const server: Server = createServer((_, response) => {
    response.setHeader('Content-Type', 'text/html');
    response.end(html);
  });
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  onTestFinished(() => void server.close());
  return `http://localhost:${String((server.address() as AddressInfo).port)}/`;
}

async function open(url: string) {
  const context = await browser.newContext();
  onTestFinished(() => context.close());
  const page = await context.newPage();
  const errors: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error') errors.push(message.text());
  });
  await page.goto(url);
  const said = async (): Promise<string> => {
    const place = page.locator('#said:not(:empty)');
    return (await place.textContent())!;
  };
  return { page, said, errors };
}

it('a link opened from another site lets in, and its key leaves the address bar', async () => {
  const host = await startHost({ network: true, script: SCRIPT });
  for (const guest of [false, true]) {
    const { url } = host.links.find((one) => one.guest === guest)!;
    const { page, said } = await open(await elsewhere(`<a href="${url}">open</a>`));
    await page.click('a');
    expect(JSON.parse(await said())).toMatchObject({ told: 'hello', guest });
    expect(page.url()).toBe(`http://127.0.0.1:${String(host.port)}/`);
    expect(await page.evaluate('document.cookie')).toBe('');
    // Loaded again, it is still let in.
    await page.reload();
    expect(JSON.parse(await said())).toMatchObject({ told: 'hello', guest });
  }
});

it('without a link it is told that there is no key', async () => {
  const host = await startHost({ network: true, script: SCRIPT });
  const { said } = await open(`http://127.0.0.1:${String(host.port)}/`);
  expect(await said()).toBe('closed 4001');
});

it('a page of somebody else can neither connect nor embed nor read', async () => {
  const host = await startHost({ script: SCRIPT });
  const own = `127.0.0.1:${String(host.port)}`;
  const { page } = await open(
    await elsewhere(`<p id="said"></p><iframe src="http://${own}/"></iframe>`),
  );
  const tried = await page.evaluate(`new Promise((done) => {
    const socket = new WebSocket('ws://${own}/link');
    socket.onopen = () => done('open');
    socket.onerror = () => done('refused');
  })`);
  expect(tried).toBe('refused');
  const read = await page.evaluate(
    `fetch('http://${own}/takes').then(() => 'read', () => 'refused')`,
  );
  expect(read).toBe('refused');
  expect(await page.frames()[1]!.evaluate(`document.getElementById('said') === null`)).toBe(true);
  expect(host.orders).toEqual([]);
});

it('nothing that is not its own is run or loaded, and its own connection is', async () => {
  const script = `${SCRIPT}
    const broken = [];
    addEventListener('securitypolicyviolation', (one) => {
      broken.push(one.effectiveDirective);
      document.title = broken.sort().join(' ');
    });
    const inline = document.createElement('script');
    inline.textContent = 'document.title = "run"';
    document.body.append(inline);
    fetch('http://127.0.0.1:1/').catch(() => {});
    new Image().src = 'http://127.0.0.1:1/x.png';
    try { new Function('document.title = "run"')(); } catch {}
  `;
  const host = await startHost({ script });
  const { page, said } = await open(`http://127.0.0.1:${String(host.port)}/`);
  expect(JSON.parse(await said())).toMatchObject({ told: 'hello', guest: false });
  await soon(() => page.title()).toBe('connect-src img-src script-src script-src-elem');
});
