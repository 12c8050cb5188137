import { parentPort, workerData } from 'node:worker_threads';
import type { Rules } from '../../instrument/types.js';
import type { Mark } from '../../fit/marks.js';
import { fitRunner } from './runner.js';
import type { FitTake } from './take.js';

/** What a thread is asked. */
export interface FitAsk {
  readonly take: number;
  readonly sets: readonly Rules[];
  readonly brief: boolean;
}

/** What it answers: marks by rule set and stretch, or what went wrong. */
export type FitAnswer =
  { readonly marks: readonly (readonly Mark[])[] } | { readonly fault: string };

const runner = fitRunner(workerData as readonly FitTake[]);

parentPort?.on('message', ({ take, sets, brief }: FitAsk) => {
  void answer(take, sets, brief).then((found) => parentPort?.postMessage(found));
});

async function answer(take: number, sets: readonly Rules[], brief: boolean): Promise<FitAnswer> {
  try {
    return { marks: await runner.run(take, sets, brief) };
  } catch (error) {
    return { fault: (error as Error).message };
  }
}
