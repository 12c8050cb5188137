import { readFileSync } from 'node:fs';
import { megabytes } from '../fuzz/long/fed.js';

/** What of this computer is in use. */
export interface Used {
  /** In use after the garbage was collected, in MB. */
  readonly heap: number;
  /** Memory that the system counts for the process, in MB. */
  readonly rss: number;
  /** Timers, sockets and files that Node keeps open. */
  readonly handles: number;
  readonly threads: number;
}

export function used(): Used {
  const heap = megabytes();
  return {
    heap,
    rss: process.memoryUsage.rss() / 2 ** 20,
    handles: process.getActiveResourcesInfo().length,
    threads: threadsOf('self'),
  };
}

/** How many threads a process has, on Linux; 0 elsewhere. */
export function threadsOf(pid: number | 'self'): number {
  try {
    const status = readFileSync(`/proc/${String(pid)}/status`, 'utf8');
    return Number(/^Threads:\s*(\d+)/m.exec(status)?.[1] ?? 0);
  } catch {
    return 0;
  }
}

/** By how much the most of the second half is over the most of the second quarter. */
export function growth(values: readonly number[]): number {
  const half = Math.floor(values.length / 2);
  const quarter = Math.floor(values.length / 4);
  const most = (of: readonly number[]): number => of.reduce((a, b) => Math.max(a, b), -Infinity);
  return values.length < 4 ? 0 : most(values.slice(half)) - most(values.slice(quarter, half));
}
