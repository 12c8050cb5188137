/*
 * Many pages in a process of their own: `node page-readers.js URL COUNT`. It opens them on the line
 * `open`, closes them on `close`, and answers each with a line: `opened`, or `closed` with the bytes that came.
 *
 * Real pages are on other computers and cost this one nothing: these only read, and answer pings.
 */
import { randomBytes } from 'node:crypto';
import { get } from 'node:http';
import { createInterface } from 'node:readline';

const [url, count] = [new URL('link', process.argv[2]), Number(process.argv[3])];
// A ping without content as servers send it; a pong and a close, masked by zeros (RFC 6455, section 5.2).
const PING = Buffer.from([0x89, 0]);
const PONG = Buffer.from([0x8a, 0x80, 0, 0, 0, 0]);
const CLOSE = Buffer.from([0x88, 0x80, 0, 0, 0, 0]);
let pages = [];
let bytes = 0;

/** Opens one. */
function page() {
  const headers = {
    ...{ Origin: url.origin, Connection: 'Upgrade', Upgrade: 'websocket' },
    ...{ 'Sec-WebSocket-Version': 13, 'Sec-WebSocket-Key': randomBytes(16).toString('base64') },
  };
  return new Promise((resolve, reject) => {
    const asked = get(url, { headers }, ({ statusCode }) => reject(new Error(String(statusCode))));
    asked.on('error', reject);
    asked.on('upgrade', (_, socket, head) => {
      bytes += head.length;
      socket.on('data', (chunk) => {
        bytes += chunk.length;
        // It is sent alone, or comes behind a frame.
        if (socket.writable && chunk.subarray(-PING.length).equals(PING)) socket.write(PONG);
      });
      resolve(socket);
    });
  });
}

async function open() {
  bytes = 0;
  pages = await Promise.all(Array.from({ length: count }, page));
  console.log('opened');
}

async function close() {
  const over = pages.map((one) => new Promise((resolve) => one.once('close', resolve)));
  for (const one of pages) one.end(CLOSE);
  await Promise.all(over);
  console.log(`closed ${String(bytes)}`);
}

createInterface({ input: process.stdin }).on(
  'line',
  (line) => void (line === 'open' ? open() : close()),
);
console.log('ready');
