import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { Rules } from '../../instrument/types.js';
import type { RunTake } from '../../fit/judge.js';
import type { Mark } from '../../fit/marks.js';
import { touchKey } from './runner.js';
import type { FitTake } from './take.js';
import type { FitAnswer, FitAsk } from './worker.js';

/** Threads that run takes, as many as the machine has processors. */
export interface FitPool {
  readonly run: RunTake;
  /** Ends them, whatever they are doing. */
  close(): Promise<void>;
}

/** A thread keeps all takes in memory; more than this many do not make it faster. */
const MOST_THREADS = 8;

/** Beside this file when built; where the sources run by themselves (in tests), what was built last. */
const BESIDE = new URL('./worker.js', import.meta.url);
const WORKER = existsSync(BESIDE)
  ? BESIDE
  : new URL('../../../dist/ports/fit/worker.js', import.meta.url);

/** Rule sets that are run together, since they have the same touches. */
interface Job {
  readonly ask: FitAsk;
  readonly key: string;
  done(marks: readonly (readonly Mark[])[]): void;
  failed(error: Error): void;
}

interface Thread {
  readonly worker: Worker;
  /** What it has run already. */
  readonly knows: Set<string>;
  job: Job | null;
}

export function fitPool(takes: readonly FitTake[], threads = availableParallelism()): FitPool {
  const waiting: Job[] = [];
  let fault: Error | null = null;
  const all = Array.from({ length: Math.min(MOST_THREADS, Math.max(1, threads)) }, start);

  function start(): Thread {
    const worker = new Worker(WORKER, { workerData: takes, execArgv: [], name: 'fit' });
    const thread: Thread = { worker, knows: new Set(), job: null };
    worker.on('message', (answer: FitAnswer) => {
      const { job } = thread;
      thread.job = null;
      if ('fault' in answer) job?.failed(new Error(answer.fault));
      else job?.done(answer.marks);
      next(thread);
    });
    worker.on('error', (error) => {
      fault = error as Error;
      thread.job?.failed(fault);
      for (const job of waiting.splice(0)) job.failed(fault);
    });
    return thread;
  }

  /** What it knows the touches of goes fastest. */
  function next(thread: Thread): void {
    if (thread.job !== null) return;
    const known = waiting.findIndex(({ key }) => thread.knows.has(key));
    const [job] = waiting.splice(Math.max(0, known), 1);
    if (!job) return;
    thread.job = job;
    thread.knows.add(job.key);
    thread.worker.postMessage(job.ask);
  }

  function put(ask: FitAsk, key: string): Promise<readonly (readonly Mark[])[]> {
    return new Promise((done, failed) => {
      if (fault) {
        failed(fault);
        return;
      }
      waiting.push({ ask, key, done, failed });
    });
  }

  return {
    async run(take, sets, brief) {
      const groups = new Map<string, Rules[]>();
      for (const rules of sets) {
        const key = `${String(take)} ${touchKey(rules, brief)}`;
        groups.set(key, [...(groups.get(key) ?? []), rules]);
      }
      const answers = [...groups].map(([key, own]) => put({ take, sets: own, brief }, key));
      all.forEach(next);
      const marks = new Map<Rules, readonly Mark[]>();
      const found = (await Promise.all(answers)).flat();
      [...groups.values()].flat().forEach((rules, i) => marks.set(rules, found[i]!));
      return sets.map((rules) => marks.get(rules)!);
    },
    async close() {
      await Promise.all(all.map(({ worker }) => worker.terminate()));
    },
  };
}
