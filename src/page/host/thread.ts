import { existsSync } from 'node:fs';
import { Worker } from 'node:worker_threads';
import type { FromPageThread, PageThreadData, ToPageThread } from './messages.js';

/** The part of a worker thread that is used. */
export interface PageThread {
  postMessage(message: ToPageThread): void;
  terminate(): Promise<unknown>;
  ref(): void;
  unref(): void;
  on(event: 'message', listener: (message: FromPageThread) => void): unknown;
  on(event: 'error', listener: (error: unknown) => void): unknown;
  on(event: 'exit', listener: () => void): unknown;
}

/** Beside this folder when built; where the sources run by themselves (in tests), what was built last. */
const BUILT = new URL('../server/thread.js', import.meta.url);
const FILE = existsSync(BUILT)
  ? BUILT
  : new URL('../../../dist/page/server/thread.js', import.meta.url);

/** Far more than pages need: one that takes more has a fault, and must not take the room's. */
const LIMITS = { maxOldGenerationSizeMb: 512 };

/** Starts the thread that serves pages. */
export function startThread(data: PageThreadData): PageThread {
  return new Worker(FILE, { workerData: data, execArgv: [], resourceLimits: LIMITS, name: 'page' });
}
