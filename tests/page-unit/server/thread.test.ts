import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { expect, it, onTestFinished } from 'vitest';
import type {
  FromPageThread,
  PageThreadData,
  ToPageThread,
} from '../../../src/page/host/messages.js';
import { voiceMemory } from '../../../src/page/link/memory.js';
import { numbered } from '../../page/support/made-up-seat.js';
import { bassSeat, eventually, FakePage, get, threadSeat } from './fake-host.js';

/** As `npm test` has built it before. */
const BUILT = new URL('../../../dist/page/server/thread.js', import.meta.url);

/** By thread of this process, its nice value: field 19 of proc(5)'s stat. */
function niceValues(): Map<string, number> {
  const values = new Map<string, number>();
  for (const thread of readdirSync('/proc/self/task')) {
    const stat = readFileSync(`/proc/self/task/${thread}/stat`, 'utf8');
    // The name before it may hold spaces; what follows begins with field 3.
    values.set(thread, Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[19 - 3]));
  }
  return values;
}

async function startThread() {
  const folder = mkdtempSync(join(tmpdir(), 'page-thread-'));
  const data: PageThreadData = {
    voices: voiceMemory(),
    seats: [threadSeat('north', 0)],
    state: {
      room: {
        name: 'demo',
        voices: 64,
        scale: null,
        duck: 9,
        playing: true,
        rulesNames: ['plain'],
        controls: [],
      },
      seats: numbered([bassSeat('north')]),
      engines: [],
      notices: [],
    },
    folder,
    port: 0,
    network: false,
    takeFolders: [folder],
    version: '1.2.3',
    seed: 7,
    origin: performance.timeOrigin,
  };
  const worker = new Worker(BUILT, { workerData: data, execArgv: [] });
  const heard: FromPageThread[] = [];
  worker.on('message', (message: FromPageThread) => heard.push(message));
  const exit = new Promise<number>((done) => worker.once('exit', done));
  onTestFinished(async () => {
    await worker.terminate();
    rmSync(folder, { recursive: true });
  });
  await eventually(() => heard.some(({ type }) => type === 'serving'));
  const serving = heard.find((one) => one.type === 'serving')!;
  const say = (message: ToPageThread): void => worker.postMessage(message);
  const port = serving.type === 'serving' ? Number(new URL(serving.links[0]!.url).port) : 0;
  return { heard, exit, say, port };
}

it('the thread serves pages, says that it goes on, and ends when it is told to', async () => {
  const { heard, exit, say, port } = await startThread();
  expect((await get(port, '/rules/plain.json')).status).toBe(200);
  const page = new FakePage(port);
  await page.greeted();
  const before = heard.length;
  page.socket.send(JSON.stringify({ id: 5, ask: { ask: 'silence' } }));
  const order = (): FromPageThread | undefined =>
    heard.find((one) => one.type === 'order' && one.order.ask === 'silence');
  await eventually(() => order() !== undefined);
  const own = order()!;
  say({ type: 'answer', id: own.type === 'order' ? own.id : 0, refused: 'No.' });
  await page.until(() => page.last('answer'));
  expect(page.last('answer')).toEqual({ told: 'answer', id: 5, refused: 'No.' });
  await eventually(() => heard.slice(before).some(({ type }) => type === 'alive'));
  say({ type: 'close' });
  expect(await exit).toBe(0);
});

it.runIf(existsSync('/proc/self/task'))(
  'the thread stands behind the others, which stay where they were',
  async () => {
    const before = niceValues();
    const { heard } = await startThread();
    await eventually(() => heard.length > 0);
    const after = niceValues();
    for (const [thread, nice] of before) {
      if (after.has(thread)) expect([thread, after.get(thread)]).toEqual([thread, nice]);
    }
    const own = before.get(String(process.pid))!;
    const fresh = [...after].filter(([thread]) => !before.has(thread)).map(([, nice]) => nice);
    expect(fresh.filter((nice) => nice === Math.min(19, own + 10))).toHaveLength(1);
  },
);
