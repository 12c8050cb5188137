import { readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import type { Browser, Page } from 'playwright-core';
import { launch, POLICY } from './support/browser.js';

/** Hands on every block that comes to it. */
const RECORDER = `registerProcessor('recorder', class extends AudioWorkletProcessor {
  process([input]) {
    if (input[0]) this.port.postMessage([input[0].slice(), (input[1] ?? input[0]).slice()]);
    return true;
  }
});`;

/** A host that the browser takes for another machine, so that the page is not a secure context. */
export const FAR = 'tablet.test';

export interface SoundPage {
  open(host?: string): Promise<Page>;
  /** Another browser, that lets no page sound before a touch. */
  openStrict(said: (line: string) => void): Promise<Page>;
  close(): Promise<void>;
}

/** Serves the built program's files and the tests' hands, and opens them in Debian's chromium. */
export async function soundPage(): Promise<SoundPage> {
  const dist = new URL('../../dist/page/browser/', import.meta.url);
  const hands = await build({
    entryPoints: [fileURLToPath(new URL('./sound-hands.mjs', import.meta.url))],
    bundle: true,
    format: 'esm',
    write: false,
    jsx: 'automatic',
    jsxImportSource: 'preact',
  });
  const html =
    '<!doctype html><html lang="en"><meta charset="utf-8"><title>sound</title><meta name="viewport" content="width=device-width"><link rel="stylesheet" href="page.css"><main class="page"><aside class="aside" id="panel"></aside></main><script type="module" src="hands.js"></script></html>';
  const files: Record<string, () => Promise<string | Buffer> | string> = {
    '/': () => html,
    '/hands.js': () => hands.outputFiles[0]!.text,
    '/recorder.js': () => RECORDER,
    '/page.css': () => readFile(new URL('page.css', dist)),
    '/sound/worklet.js': () => readFile(new URL('sound/worklet.js', dist)),
  };
  const server = createServer((request, response) => {
    const file = files[request.url ?? ''];
    if (!file) {
      response.writeHead(404).end();
      return;
    }
    const type = request.url === '/' ? 'text/html' : 'text/javascript';
    const css = request.url?.endsWith('.css') ?? false;
    response.setHeader('content-type', css ? 'text/css' : type);
    response.setHeader('content-security-policy', POLICY);
    void Promise.resolve(file()).then((body) => response.end(body));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  const browsers: Browser[] = [];
  const begin = async (autoplay: string): Promise<Browser> => {
    const browser = await launch(`--host-resolver-rules=MAP ${FAR} 127.0.0.1`, autoplay);
    browsers.push(browser);
    return browser;
  };
  const openIn = async (browser: Browser, host: string): Promise<Page> => {
    const page = await browser.newPage();
    page.on('pageerror', (error) => {
      process.stderr.write(`page: ${error.message}\n`);
    });
    await page.goto(`http://${host}:${String(port)}/`);
    await page.waitForFunction('globalThis.hands');
    return page;
  };
  const free = await begin('--autoplay-policy=no-user-gesture-required');
  return {
    open: (host = '127.0.0.1') => openIn(free, host),
    async openStrict(said) {
      const strict = await begin('--autoplay-policy=document-user-activation-required');
      const page = await strict.newPage();
      page.on('console', (message) => {
        said(message.text());
      });
      await page.goto(`http://127.0.0.1:${String(port)}/#held`);
      return page;
    },
    async close() {
      await Promise.all(browsers.map((browser) => browser.close()));
      server.close();
    },
  };
}

/** Samples as `base64` of the hands packs them. */
export function samples(text: string): Float32Array {
  const bytes = Uint8Array.from(Buffer.from(text, 'base64'));
  return new Float32Array(bytes.buffer);
}
