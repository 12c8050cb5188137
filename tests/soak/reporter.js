/*
 * Put before a program by `node --import`: writes once a minute, or as often as SOAK_EVERY says in ms, what the
 * program's main thread has in use, a line of JSON each, to the file SOAK_REPORT.
 *
 * The heap is the least of many looks: what is left after a garbage collection, without asking for one, which
 * would hold the players up.
 */
import { appendFileSync } from 'node:fs';
import { isMainThread } from 'node:worker_threads';

const { SOAK_REPORT: file, SOAK_EVERY: every = '60000' } = process.env;
if (isMainThread && file) {
  let least = Infinity;
  let looks = 0;
  setInterval(
    () => {
      least = Math.min(least, process.memoryUsage().heapUsed);
      if (++looks < 100) return;
      const handles = process.getActiveResourcesInfo().length;
      appendFileSync(file, `${JSON.stringify({ heap: least / 2 ** 20, handles })}\n`);
      looks = 0;
      least = Infinity;
    },
    Number(every) / 100,
  ).unref();
}
