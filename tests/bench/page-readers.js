/*
 * Many pages in a process of their own: `node page-readers.js URL COUNT`. It opens them on the line
 * `open`, closes them on `close`, and answers each with a line: `opened`, or `closed` with the bytes that came.
 */
import { createInterface } from 'node:readline';
import { WebSocket } from 'ws';

const [url, count] = [process.argv[2], Number(process.argv[3])];
const origin = new URL(url).origin;
let pages = [];
let bytes = 0;

async function open() {
  bytes = 0;
  pages = Array.from({ length: count }, () => {
    const page = new WebSocket(new URL('link', url).href.replace('http', 'ws'), { origin });
    page.on('message', (data) => (bytes += data.length));
    return page;
  });
  await Promise.all(pages.map((page) => new Promise((resolve) => page.once('open', resolve))));
  console.log('opened');
}

async function close() {
  const over = pages.map((page) => new Promise((resolve) => page.once('close', resolve)));
  for (const page of pages) page.close();
  await Promise.all(over);
  console.log(`closed ${String(bytes)}`);
}

createInterface({ input: process.stdin }).on(
  'line',
  (line) => void (line === 'open' ? open() : close()),
);
console.log('ready');
