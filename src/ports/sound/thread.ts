import { Worker } from 'node:worker_threads';
import type { FromWorker, ToWorker, WorkerData, WorkerOptions } from './messages.js';

/** The part of a worker thread that the engine uses. */
export interface SoundThread {
  postMessage(message: ToWorker): void;
  terminate(): Promise<unknown>;
  unref(): void;
  on(event: 'message', listener: (message: FromWorker) => void): unknown;
  on(event: 'error', listener: (error: unknown) => void): unknown;
  on(event: 'exit', listener: () => void): unknown;
}

/** How long a program that ends without closing the engine waits for its thread to let go of the card. */
const LEAVE_WITHIN_MS = 1_500;

/**
 * Starts the thread that renders and plays.
 *
 * Were the program to end while a card is open, the sound library would abort it (0.4.2: its own thread
 * calls into a heap that is gone). So the end waits until the thread has closed the card.
 */
export function startThread(options: WorkerOptions): SoundThread {
  const left = new Int32Array(new SharedArrayBuffer(4));
  const workerData: WorkerData = { ...options, left };
  const worker = new Worker(new URL('./worker.js', import.meta.url), {
    workerData,
    execArgv: [],
  });
  const leave = (): void => {
    worker.postMessage({ type: 'close' } satisfies ToWorker);
    Atomics.wait(left, 0, 0, LEAVE_WITHIN_MS);
  };
  process.once('exit', leave);
  worker.once('exit', () => process.off('exit', leave));
  return worker;
}
