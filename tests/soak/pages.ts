import { existsSync } from 'node:fs';
import { WebSocket } from 'ws';
import { launch } from '../page/support/browser.js';

/** Pages that look at a room. */
export interface OpenPages {
  /** What they are open in, in words. */
  readonly what: string;
  /** Closes them. Gives what went wrong in them, in words. */
  close(): Promise<string[]>;
}

/** Opens pages in Chromium, or, where there is none, as many of the connections that pages make. */
export function openPages(url: string, count: number): Promise<OpenPages> {
  return existsSync(process.env['CHROMIUM'] ?? '/usr/bin/chromium')
    ? inChromium(url, count)
    : asSockets(url, count);
}

async function inChromium(url: string, count: number): Promise<OpenPages> {
  const browser = await launch();
  const trouble: string[] = [];
  const pages = await Promise.all(
    Array.from({ length: count }, async () => {
      const page = await browser.newPage();
      page.on('pageerror', ({ message }) => trouble.push(`a page threw: ${message}`));
      await page.goto(url);
      return page;
    }),
  );
  return {
    what: 'Chromium',
    async close() {
      for (const page of pages) {
        const alive = await page.evaluate('document.body.innerText.length').catch(() => 0);
        if (Number(alive) < 20) trouble.push('a page shows nothing at the end');
      }
      await browser.close();
      return trouble;
    },
  };
}

async function asSockets(url: string, count: number): Promise<OpenPages> {
  const trouble: string[] = [];
  let frames = 0;
  const sockets = await Promise.all(
    Array.from({ length: count }, () => {
      const socket = new WebSocket(new URL('link', url).href.replace(/^http/, 'ws'), {
        origin: new URL(url).origin,
      });
      socket.on('message', () => frames++);
      return new Promise<WebSocket>((resolve, reject) => {
        socket.once('open', () => resolve(socket));
        socket.once('error', reject);
      });
    }),
  );
  return {
    what: 'WebSockets, since there is no Chromium',
    close() {
      for (const socket of sockets) {
        if (socket.readyState !== WebSocket.OPEN) trouble.push('a page was closed');
        socket.terminate();
      }
      if (frames === 0) trouble.push('no page was told anything');
      return Promise.resolve(trouble);
    },
  };
}
