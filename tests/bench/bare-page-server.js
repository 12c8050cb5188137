/*
 * The least that tells pages anything: `node bare-page-server.js BYTES`. So many bytes go to every page 15 times a
 * second, from a process of its own, at the lower priority that pluckwork's page thread has.
 */
import { createServer } from 'node:http';
import { setPriority } from 'node:os';
import { WebSocketServer } from 'ws';

const frame = Buffer.alloc(Number(process.argv[2]));
setPriority(10);
const server = createServer();
const pages = new WebSocketServer({ server, perMessageDeflate: false });
setInterval(() => {
  for (const page of pages.clients) page.send(frame, () => undefined);
}, 1_000 / 15);
server.listen(0, '127.0.0.1', () => {
  console.log(`Page (http://127.0.0.1:${String(server.address().port)}/)`);
});
