import { workerData } from 'node:worker_threads';
import { Sandbox } from './sandbox.js';
import { SEAT, Shared, THREAD, type ThreadData, type Told } from './shared.js';

/*
 * The thread of one module of somebody's own. After its start it only ever waits for its turn: it has no
 * event loop, so nothing that a module leaves behind goes on between two calls.
 */

const { shared: memory, code } = workerData as ThreadData;
const shared = new Shared(memory);

const TOO_LONG: Told = { thrown: { message: 'its answer is too long', stack: '' } };

function give(text: string): void {
  if (!shared.give(SEAT, text)) shared.give(SEAT, JSON.stringify(TOO_LONG));
}

const sandbox = new Sandbox(code);
give(sandbox.try());
for (;;) {
  shared.wait(SEAT);
  if (shared.turn === THREAD) give(sandbox.answer(shared.text()));
}
