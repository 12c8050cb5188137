import { fileURLToPath } from 'node:url';
import { parentPort, workerData } from 'node:worker_threads';
import type { FromPageThread, PageThreadData, ToPageThread } from '../host/messages.js';
import { pulse } from '../host/pulse.js';
import { makeGuides } from './guides/make-guides.js';
import { servePages } from './page-server.js';
import { standBehind } from './priority.js';

/*
 * The thread that serves the page. It has its own heap and its own event loop, so that whatever pages do
 * holds up no touch. An error in it is the playing thread's to tell: the room plays on without a page.
 */

const port = parentPort!;
const send = (message: FromPageThread): void => {
  port.postMessage(message);
};

const stopPulse = pulse(send);
await standBehind();
const server = await servePages({
  data: workerData as PageThreadData,
  send,
  makeGuides,
  files: fileURLToPath(new URL('../browser/', import.meta.url)),
});

port.on('message', (message: ToPageThread) => {
  if (message.type !== 'close') {
    server.hear(message);
    return;
  }
  void server.close().finally(() => {
    stopPulse();
    port.close();
  });
});
