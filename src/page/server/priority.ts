import { stat } from 'node:fs/promises';
import { getPriority, setPriority } from 'node:os';

/** How far behind the rest of the program this thread stands, as `nice` counts, and the last place. */
const BEHIND = 10;
const LAST = 19;

/**
 * Has playing go before pages, where both want the processor. On Linux a priority is one thread's own
 * (sched(7): "the nice value is a per-thread attribute", against POSIX); elsewhere it would be that of
 * the whole program, so that nothing is done there.
 */
export async function standBehind(): Promise<void> {
  if (process.platform !== 'linux') return;
  // New threads have the priority of who starts them. Node's own, which read and write files for
  // everybody, begin with the first file that is asked for: not here and now, but before.
  await stat('.').catch(() => undefined);
  try {
    setPriority(0, Math.min(LAST, getPriority(0) + BEHIND));
  } catch {
    // Not allowed here: then it stands beside it.
  }
}
